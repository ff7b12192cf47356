// Package simulate settles one wall on mean years and then runs it once through the
// year it is judged in, hour by hour, reading the damage models along the way. It
// turns a wall of layers into what the transient engine needs (effective masonry,
// the impregnated skin of the face, coats and membranes as contacts, drained
// cavities, the leak behind the face) and an hourly year into the forcing of a face.
//
// In reading order: case.go (what goes in), layout.go and materials.go (the wall for
// the engine, and the ways out of it), climate.go (its forcing), run.go (the course),
// watch.go (what is read), outcome.go (what comes out, and how it is judged).
//
// It owns the course of a case from layers to demands. It refuses to know about
// inventories, strategies, gates and verdicts; limits meet demands in Judge alone.
package simulate
