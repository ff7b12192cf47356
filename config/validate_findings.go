package config

import "slices"

// findings checks the table of how facts are found out, and that it has a row
// for every field a survey can ask for: a survey order that does not say how
// would be no use in the field.
func (v *validator) findings() {
	c := &v.l.Config
	ids := sortedKeys(c.Findings)
	for _, id := range ids {
		f := c.Findings[id]
		v.text("findings", id, map[string]string{"label": f.Label, "how": f.How, "source": f.Source})
		v.oneOf("findings."+id+".way", f.Way, Ways)
	}
	for _, id := range alwaysAsked {
		if !slices.Contains(ids, id) {
			v.add("findings."+id, nil, "missing; a survey asks for it where the inventory lacks it: do not drop the row, change it")
		}
	}
	for _, id := range sortedKeys(c.Priors) {
		if field := c.Priors[id].Field; field != "" && !slices.Contains(ids, field) {
			v.add("priors."+id+".field", field, "findings has no row for it, so a survey could ask for it and not say how it is found out; add the row%s", didYouMean(field, ids))
		}
	}
}
