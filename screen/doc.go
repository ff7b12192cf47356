// Package screen is the pipeline: inventory rows become worlds, worlds become
// cases, cases become utilisations, utilisations become verdicts, verdicts become
// ranks. It owns the order of things and the ranking rule; it refuses to know how
// a layer conducts or how a file is parsed.
//
// A building's answer is a pure function of its own row, the configuration and
// the version. The files follow a row through its stages:
//
//	engine.go     the configuration, compiled once
//	rules.go      gates, steps and strategies: when they apply
//	world.go      everything unknown settled, once for both tiers: corners and draws
//	layers.go     a world's wall under a strategy
//	zone.go       the climates walls settle on and are judged in, and weather files
//	steady.go     a world by monthly balances
//	runs.go       a home's engine runs, its key, and how they are kept between nights
//	home.go       a home by the engine: facings, thickness; draws.go: chances, in looks
//	past.go       what the wall as it stands says of the draws
//	allowance.go  how much insulation the wall takes, and how dry a face helps
//	survey.go     what knowing a missing fact is worth
//	judge.go      verdicts; walls.go: homes of several walls
//	rank.go       the ranking rule
//	worklist.go   the work a judgement asks for, in the order of the site
//	intake.go     which rows count
//	pipeline.go   rows in, answers out, in order; run.go: sums; spill.go: rows on disk
//	explain.go    the working behind one answer
package screen
