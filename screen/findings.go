package screen

import "wallsift/config"

// Finding says how a fact is found out. The row is there for every fact of a
// Survey: the configuration is refused without.
func (e *Engine) Finding(f Fact) config.Finding { return e.FindingOf(f.Name()) }

// FindingOf is Finding for a fact by its name in the inventory.
func (e *Engine) FindingOf(field string) config.Finding { return e.cfg.Findings[field] }
