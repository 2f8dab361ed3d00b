// Package fax keeps the published schedules of weather fax broadcasts as data
// and picks charts from them.
//
// The built-in schedule is the table schedules.csv beside this file: its head
// tells where the rows come from and how far they were checked. Stations change
// their times and close, so a user may bring a table of his own, read by Parse.
package fax
