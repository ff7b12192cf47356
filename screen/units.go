package screen

// Units returns the units that tables for people are printed in, one of
// config.Units. Inside, everything is SI.
func (e *Engine) Units() string { return e.cfg.Output.Units }
