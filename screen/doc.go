// Package screen is the pipeline: inventory rows become cases, cases become
// utilisations, utilisations become verdicts, verdicts become ranks. It owns
// the order of things and the ranking rule; it refuses to know how a layer
// conducts or how a file is parsed.
package screen
