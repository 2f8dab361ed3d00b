package sheet

// Library returns the chart library's script, style and licence, for other pages
// that draw with it; assets/uplot/SOURCE.txt tells where it is from.
func Library() (script, style, licence string) { return uplotJS, uplotCSS, uplotLicence }
