// Package transient solves coupled one-dimensional heat and moisture transport
// through a wall, hour by hour, in the frame of EN 15026: sensible and latent
// heat, vapour diffusion, capillary flow, freezing, driving rain at the face,
// variable vapour retarders and drained cavities.
//
// It owns the equations, their discretisation (cell-centred finite volumes,
// implicit, conservative) and the error control; README.md derives them. It
// refuses to know about buildings, materials tables, damage models and files:
// hourly states stream out through an Observer.
//
// Its chapters, in reading order. What is given: material.go, table.go (the same
// made fast), wall.go, weather.go, drive.go. The equations: cell.go (storage,
// vapour, ice), face.go (air and rain), interface.go (between layers), source.go
// (cavities, leaks), grid.go. Their solution: newton.go and blocktri.go (one
// step), step.go (its length), solver.go and run.go (a run and its books),
// periodic.go (a year that ends as it began), state.go (what is seen of it).
//
// Conventions: depth x runs from the outer face (0) to the inner face; fluxes
// are positive inwards (outside → inside); temperatures in °C, pressures and
// suction in Pa, water in kg/m³ of material or kg/m² of wall, time in s inside
// the engine and hours at its edge.
package transient
