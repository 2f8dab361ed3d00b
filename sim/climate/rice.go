package climate

// steadiest is the highest steadiness the synthetic wind is made with; rounding
// of the table can give 0.97.
const steadiest = 0.94

// riceSigma is the standard deviation of each component of a Gaussian vector
// wind over its mean speed, for steadiness 0, 0.05 .. 0.95. It follows from the
// mean of the Rice distribution [Rice 1945]; the test computes it anew.
var riceSigma = [...]float64{
	0.7979, 0.7971, 0.7947, 0.7908, 0.7852, 0.7779, 0.7689, 0.7580, 0.7451, 0.7301,
	0.7128, 0.6928, 0.6698, 0.6434, 0.6126, 0.5766, 0.5334, 0.4798, 0.4093, 0.3034,
}

// sigmaOverMean returns the standard deviation of each wind component over the
// mean speed for a steadiness (length of the mean vector over mean speed),
// clamped to [0, 0.94], by linear interpolation. The mean speed of the Gaussian
// wind made with it is then right within 0.3 %.
func sigmaOverMean(steadiness float64) float64 {
	x := float64(20 * min(max(steadiness, 0), steadiest))
	i := int(x)
	return riceSigma[i] + float64((x-float64(i))*(riceSigma[i+1]-riceSigma[i]))
}
