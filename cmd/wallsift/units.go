package main

// Every command that prints figures takes --units.
func init() { settingFlags["units"] = "output.units" }
