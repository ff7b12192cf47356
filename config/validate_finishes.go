package config

// finishes checks the table that gives the finish words their layers.
func (v *validator) finishes() {
	for _, id := range sortedKeys(v.l.Config.Finishes) {
		f := v.l.Config.Finishes[id]
		key := "finishes." + id
		v.text("finishes", id, map[string]string{"field": f.Field, "level": f.Level, "source": f.Source})
		v.oneOf(key+".field", f.Field, []string{"outer_finish", "inner_finish"})
		if f.Material != "" {
			v.reference(key+".material", f.Material, "materials", sortedKeys(v.l.Config.Materials))
		}
		v.within(key+".thickness", f.Thickness, 0, 0.2, "m")
		v.within(key+".a_w_factor.low", f.AwFactor.Low, 0, f.AwFactor.Typical, "(the typical value)")
		v.within(key+".a_w_factor.typical", f.AwFactor.Typical, 0, f.AwFactor.High, "(the high value)")
		v.within(key+".a_w_factor.high", f.AwFactor.High, 0, 1, "")
	}
}
