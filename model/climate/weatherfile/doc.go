// Package weatherfile reads an hourly year from a weather file: the open EPW
// format (EnergyPlus documentation, "Auxiliary Programs") or a table of the
// user's own. It checks every value, fills short gaps and says so, and refuses
// to guess what a file does not hold: such a quantity is nil and a note says
// what to do. It refuses to open files, and to know about walls or stations.
package weatherfile
