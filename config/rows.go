package config

import (
	"wallsift/model/climate"
	"wallsift/model/material"
)

type (
	materialRow = material.Material
	stationRow  = climate.Station
)

// TableNames lists the tables in the order they are documented.
func TableNames() []string {
	return []string{"materials", "stations", "zones", "strategies", "finishes", "gates", "steps", "stages", "limits", "exposures", "evidence", "priors", "findings", "glossary"}
}
