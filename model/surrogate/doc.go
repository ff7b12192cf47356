// Package surrogate owns a checked response surface: a smooth function fitted
// to some hundreds of runs of an expensive model, to be asked thousands of
// times in its place.
//
// The surface is a kernel ridge (the mean of a Gaussian process) in one
// kernel, or a few, for all outputs:
//
//	K = τ₀ + τ₁ Σ z z' + τ₂ Σ q q' + M(|w·(z − z')| / ℓ)
//
// with z the standardised features, q their standardised squares, w the
// relevance of each feature and M a Matérn or Gaussian kernel. The first three
// terms are the trend; far from all rows only the trend is left. Outputs that
// depend on the same features share kernel, length, relevance and the shares
// of the trend; the ridge is each output's own. All are chosen by the
// leave-one-out error in closed form over a small, fixed set of trials. See
// Rasmussen and Williams, Gaussian Processes for Machine Learning (MIT Press
// 2006), sections 2.7, 4.2.1 and 5.4.2 (leave-one-out), from memory.
//
// A prediction outside the training range is made at the edge of that range,
// widened by [Options.Margin]: the surface is flat beyond it, not a
// continuation of the model.
//
// It refuses: to say that a surface is good enough (it measures, the caller
// judges), to draw samples, to take logarithms or cut floors, to code
// categories as numbers, and to know what the outputs mean beyond the limit at
// log u = 0.
package surrogate
