package rain

import "math"

// Protection is the rain protection a face gives.
type Protection uint8

// Grades of a face after DIN 4108-3.
const (
	ProtectionNone      Protection = iota // fails the limits of both grades
	ProtectionInhibit                     // enough for medium rain load
	ProtectionRepellent                   // enough for high rain load
)

// FaceLimits holds the limits a face is graded by; the caller passes them in.
type FaceLimits struct {
	WHigh, WMedium float64 // kg/(m²·√h)
	SdMax          float64 // m
	WSdMax         float64 // kg/(m·√h)
}

// Grade returns the rain protection of a face with water absorption w
// (kg/(m²·√h)) and vapour resistance sd (m). Source: DIN 4108-3.
func Grade(w, sd float64, l FaceLimits) Protection {
	switch {
	case sd > l.SdMax || w > l.WMedium:
		return ProtectionNone
	case w <= l.WHigh && w*sd <= l.WSdMax:
		return ProtectionRepellent
	}
	return ProtectionInhibit
}

// Absorbed returns the water in kg/m² that a face takes up in a spell: all that
// falls on it, or what capillarity draws in over the rain hours, whichever is
// less. spell in l/m², aw in kg/(m²·√s).
func Absorbed(spell, hours, aw float64) float64 {
	return min(spell, aw*math.Sqrt(hours*3600))
}

// FrontDepth returns the depth in m that absorbed water (kg/m²) wets with a
// sharp front behind which the stone holds wf (kg/m³, > 0).
func FrontDepth(absorbed, wf float64) float64 { return absorbed / wf }
