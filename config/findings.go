package config

// Finding says how a fact of the inventory that is not known is found out. The
// id of the row is the field.
type Finding struct {
	ID     string `mapstructure:"-" yaml:"-"`
	Label  string `mapstructure:"label" yaml:"label"` // words for the field
	Way    string `mapstructure:"way" yaml:"way"`     // one of Ways
	How    string `mapstructure:"how" yaml:"how"`     // one line for who goes there
	Source string `mapstructure:"source" yaml:"source"`
	Drop   bool   `mapstructure:"drop" yaml:"drop,omitempty"`
}

// Ways to find a fact out.
const (
	WayDesk    = "desk"    // in records, on maps and pictures
	WayLook    = "look"    // by looking on site
	WayOpen    = "open"    // by opening the building up
	WayMeasure = "measure" // by a test or by instruments on site
)

// Ways lists the ways, the least trouble first.
var Ways = []string{WayDesk, WayLook, WayOpen, WayMeasure}

// OnSite says whether somebody has to go there.
func (f *Finding) OnSite() bool { return f.Way != WayDesk }

// alwaysAsked are the fields that a survey asks for whatever the priors are.
var alwaysAsked = []string{"a_w", "height", "humidity_class", "orientation"}
