package main

// settlement is one invented place and what its homes have in common.
type settlement struct {
	name      string
	zone      string // climate zone of config/defaults/climates.yaml
	homes     int
	stones    string
	exposure  string
	finish    string // outer, before age and protection have their say
	form      string
	fuel      string
	built     [2]int
	protected float64    // share of streets in a conservation area
	upkeep    float64    // 0 poor … 1 good, mean of the streets
	damp      float64    // 0 dry … 1 wet ground
	salt      float64    // 0 … 1, sea spray or old mill and road salts
	slope     float64    // 0 flat … 1 steep: whether a drain can run out
	elevation [2]float64 // m
	lat, lon  float64    // degrees, open ocean
	districts []string
	streets   []string
}

// hexmark is the invented island. Its climates are further apart than those of
// any real island, on purpose: the demo is to show several.
var hexmark = []settlement{
	{
		name: "Skerrowhaven", zone: "oceanic_wet", homes: 74, // harbour town, exposed coast
		stones:   "granite_rubble 58, granite 14, basalt_rubble 10, sandstone_rubble 10, brick_common 8",
		exposure: "moderate 14, severe 44, very_severe 42",
		finish:   "bare 34, limewash 14, lime_render 16, cement_render 20, film_paint 12, silicate_paint 4",
		form:     "terrace 50, cottage 35, tenement 15",
		fuel:     "electric storage 40, oil 25, heat pump 15, LPG 12, solid fuel 8",
		built:    [2]int{1790, 1905}, protected: 0.4, upkeep: 0.48, damp: 0.45, salt: 0.7, slope: 0.5,
		elevation: [2]float64{3, 38}, lat: 49.412, lon: -29.871,
		districts: []string{"Outer Quay", "Netloft"}, streets: []string{"Creelpot Row", "Tarbarrel Wynd", "Gannet Steps", "Lugger Bank", "Saltpan Row", "Capstan Green"},
	},
	{
		name: "Wendlemill", zone: "4c", homes: 82, // river valley, brick mill town
		stones:   "brick_common 58, brick_soft 24, brick_dense 8, brick_rubble_core 10",
		exposure: "sheltered 40, moderate 52, severe 8",
		finish:   "bare 74, cement_render 12, film_paint 12, silicate_paint 2",
		form:     "terrace 60, tenement 12, mill 28",
		fuel:     "gas 78, electric storage 10, district heat 12",
		built:    [2]int{1835, 1922}, protected: 0.2, upkeep: 0.45, damp: 0.6, salt: 0.3, slope: 0.15,
		elevation: [2]float64{41, 66}, lat: 49.531, lon: -29.602,
		districts: []string{"Weirside", "Bobbin Fold", "Upper Lade"}, streets: []string{"Shuttleman Street", "Carding Row", "Sluicegate Terrace", "Weftwright Street", "Ladebank", "Dyevat Lane", "Spindlemoss Road"},
	},
	{
		name: "Upper Corrack", zone: "6a", homes: 46, // upland village, slate and granite
		stones:   "slate_rubble 52, granite_rubble 34, gneiss 8, slate 6",
		exposure: "moderate 22, severe 56, very_severe 22",
		finish:   "bare 44, limewash 22, lime_render 12, cement_render 18, film_paint 4",
		form:     "cottage 72, terrace 28",
		fuel:     "oil 42, solid fuel 28, electric storage 12, heat pump 18",
		built:    [2]int{1760, 1885}, protected: 0.3, upkeep: 0.42, damp: 0.5, salt: 0.05, slope: 0.8,
		elevation: [2]float64{338, 452}, lat: 49.688, lon: -29.515,
		districts: []string{"Corrack Moor"}, streets: []string{"Peatcutters' Row", "Ravel Brae", "Slategate", "Ewefold Lane"},
	},
	{
		name: "Marketholm", zone: "5a", homes: 68, // inland market town, sandstone
		stones:   "sandstone_dense 30, sandstone_porous 28, sandstone_rubble 30, brick_common 12",
		exposure: "sheltered 28, moderate 58, severe 14",
		finish:   "bare 76, limewash 6, lime_render 6, cement_render 8, silicate_paint 2, film_paint 2",
		form:     "terrace 52, tenement 34, cottage 14",
		fuel:     "gas 64, electric storage 16, heat pump 12, oil 8",
		built:    [2]int{1780, 1910}, protected: 0.55, upkeep: 0.56, damp: 0.35, salt: 0.15, slope: 0.4,
		elevation: [2]float64{112, 158}, lat: 49.597, lon: -29.338,
		districts: []string{"Tollbooth", "Fleshmarket"}, streets: []string{"Corn Tally Street", "Tollbooth Wynd", "Drovergate", "Wool Measure", "Hiring Square", "Tithebarn Close"},
	},
	{
		name: "Palewick Edge", zone: "4a", homes: 40, // limestone ridge
		stones:   "limestone_rubble 46, limestone_semi_hard 18, limestone_soft 18, limestone_hard 12, flint_rubble 6",
		exposure: "sheltered 8, moderate 50, severe 42",
		finish:   "bare 66, limewash 16, lime_render 10, cement_render 6, film_paint 2",
		form:     "cottage 58, terrace 42",
		fuel:     "oil 34, electric storage 26, heat pump 26, LPG 14",
		built:    [2]int{1740, 1890}, protected: 0.7, upkeep: 0.62, damp: 0.15, salt: 0.05, slope: 0.7,
		elevation: [2]float64{204, 266}, lat: 49.455, lon: -29.214,
		districts: []string{"Palewick Parishes"}, streets: []string{"Chantry Pale", "Limekiln Rake", "Dewpond Lane", "Beacon Selion"},
	},
	{
		name: "Vantrey", zone: "oceanic_mild", homes: 62, // small city, terraces
		stones:   "brick_common 46, brick_soft 14, brick_dense 16, limestone_semi_hard 10, sandstone_porous 10, tuff_rubble 4",
		exposure: "sheltered 48, moderate 46, severe 6",
		finish:   "bare 62, lime_render 8, cement_render 12, film_paint 14, silicate_paint 4",
		form:     "terrace 78, tenement 22",
		fuel:     "gas 66, district heat 18, electric storage 10, heat pump 6",
		built:    [2]int{1820, 1925}, protected: 0.35, upkeep: 0.52, damp: 0.3, salt: 0.2, slope: 0.35,
		elevation: [2]float64{14, 47}, lat: 49.338, lon: -29.447,
		districts: []string{"Vantrey North Ward", "Vantrey Lantern Ward"}, streets: []string{"Quarrier Street", "Lamplighter Terrace", "Ashlar Parade", "Gasworks Hill", "Printers' Cut", "Old Octroi Road"},
	},
	{
		name: "Drummel Sound", zone: "5c", homes: 30, // fishing hamlet, slate
		stones:   "slate_rubble 74, slate 12, granite_rubble 14",
		exposure: "severe 34, very_severe 66",
		finish:   "bare 26, limewash 26, lime_render 12, cement_render 24, film_paint 12",
		form:     "cottage 68, terrace 32",
		fuel:     "solid fuel 26, oil 28, electric storage 34, heat pump 12",
		built:    [2]int{1770, 1895}, protected: 0.35, upkeep: 0.38, damp: 0.6, salt: 0.85, slope: 0.4,
		elevation: [2]float64{2, 21}, lat: 49.724, lon: -29.796,
		districts: []string{"Drummel"}, streets: []string{"Slipway Cottages", "Herringhouse Row", "Kelpburn"},
	},
}
