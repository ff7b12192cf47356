// Package simulate runs one wall through one climate, hour by hour, until its
// year repeats, and reads the damage models along the way. It turns a wall of
// layers into what the transient engine needs (effective masonry, the treated
// skin of the face, coats and membranes as contacts, drained cavities, the leak
// behind the face) and an hourly year into the forcing of a face.
//
// It owns the course of a case from layers to demands and limits. It refuses to
// know about inventories, strategies, gates and verdicts.
package simulate
