package config

// Kinds of source, weakest first.
const (
	KindDefault     = "default"
	KindFile        = "file"
	KindEnvironment = "environment"
	KindFlag        = "flag"
)

// Source is where a value came from.
type Source struct {
	Kind string `json:"kind"`           // one of the Kind words
	Name string `json:"name,omitempty"` // path, variable or flag; empty for the defaults
}

// String returns "default", "file PATH", "environment VAR" or "flag --x".
func (s Source) String() string {
	if s.Kind == KindDefault {
		return s.Kind
	}
	return s.Kind + " " + s.Name
}
