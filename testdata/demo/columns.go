package main

// columns is the header of the inventory: known columns, and at the end three
// of the association's own.
var columns = []string{
	"building_id", "wall_thickness_mm", "stone_type", "climate_zone", "exposure", "embedded_timber",
	"protected_facade", "outer_finish", "mortar", "joint_condition", "inner_finish", "inner_condition",
	"rainwater_goods", "ground_moisture", "salts", "drain_outlet", "humidity_class",
	"orientation", "height_m", "storeys", "wall_area_m2", "floor_area_m2",
	"latitude_deg", "longitude_deg", "elevation_m",
	"heating_fuel", "last_survey", "group_key",
	"asset_ref", "street", "tenancy",
}

// numeric columns are float64 in the Parquet copy. Orientation mixes degrees
// and compass points and stays text.
var numeric = map[string]bool{
	"wall_thickness_mm": true, "height_m": true, "storeys": true, "wall_area_m2": true, "floor_area_m2": true,
	"latitude_deg": true, "longitude_deg": true, "elevation_m": true,
}

// blanks is the share of cells that nobody filled in.
var blanks = map[string]float64{
	"protected_facade": 0.15, "outer_finish": 0.15, "mortar": 0.38, "joint_condition": 0.20, "inner_finish": 0.30,
	"inner_condition": 0.34, "rainwater_goods": 0.22, "ground_moisture": 0.28, "salts": 0.36, "drain_outlet": 0.40,
	"humidity_class": 0.32, "orientation": 0.16, "height_m": 0.24, "storeys": 0.15, "wall_area_m2": 0.18, "floor_area_m2": 0.15,
	"latitude_deg": 0.18, "elevation_m": 0.20, "heating_fuel": 0.15, "last_survey": 0.18,
}

// onSite columns are known only where a surveyor has been.
var onSite = map[string]bool{
	"joint_condition": true, "inner_condition": true, "rainwater_goods": true, "ground_moisture": true, "salts": true, "drain_outlet": true, "inner_finish": true, "mortar": true,
}

// levelColumns take the word unknown and are written in many ways.
var levelColumns = map[string]bool{
	"exposure": true, "embedded_timber": true, "protected_facade": true, "outer_finish": true, "mortar": true, "joint_condition": true,
	"inner_finish": true, "inner_condition": true, "rainwater_goods": true, "ground_moisture": true, "salts": true, "drain_outlet": true, "humidity_class": true,
}

// labels are how the materials table spells out some of the ids. Surveyors
// copy them now and then.
var labels = map[string]string{
	"granite":             "Granite, ashlar with thin joints",
	"granite_rubble":      "Granite rubble in lime mortar",
	"slate_rubble":        "Slate rubble in lime or earth mortar",
	"sandstone_rubble":    "Sandstone rubble in lime mortar",
	"sandstone_dense":     "Dense sandstone",
	"sandstone_porous":    "Porous sandstone",
	"limestone_rubble":    "Limestone rubble in lime mortar",
	"limestone_soft":      "Limestone, soft",
	"limestone_semi_hard": "Limestone, semi-hard",
	"brick_soft":          "Solid clay brick, soft fired, lime mortar",
	"brick_common":        "Solid clay brick, common, lime mortar",
	"brick_rubble_core":   "Brick skins with a brick rubble core",
}
