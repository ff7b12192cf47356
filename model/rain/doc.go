// Package rain holds driving rain on a wall: the airfield and wall indices of
// ISO 15927-3, an estimate of the airfield index from monthly normals, how much a
// face takes up, and how deep a spell wets it. It refuses to know about
// heat or vapour.
//
// How exposure and station combine: the station gives the airfield index, what
// an open airfield there would catch; the exposure word of the inventory gives
// the factors of the site. Their product is the wall index.
package rain
