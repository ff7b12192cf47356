package config

// priors checks the table of what is likely where the inventory does not know.
func (v *validator) priors() {
	seen := map[[2]string]string{}
	for _, id := range sortedKeys(v.l.Config.Priors) {
		p := v.l.Config.Priors[id]
		key := "priors." + id
		v.text("priors", id, map[string]string{"field": p.Field, "level": p.Level, "source": p.Source})
		v.within(key+".weight", p.Weight, 0, 1e6, "(weighed against the other rows of the field)")
		at := [2]string{p.Field, p.Level}
		if other := seen[at]; other != "" {
			v.add(key+".level", p.Level, "has a row already, %s; keep one", other)
		}
		seen[at] = id
	}
}
