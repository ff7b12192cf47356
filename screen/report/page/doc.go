// Package page writes report.html, the results as one page for people: it needs
// no network and no other file, works with a keyboard and a screen reader, and
// prints. It computes nothing and decides nothing; what was not judged or drawn is
// said to be so. Text from an inventory is data on the page, never markup or script.
//
// It is written in the units the run was asked for, its data too: the script
// converts nothing, and puts sentences and work lists together from
// clauses and lines of package report.
//
// The map needs no tiles: it is homes by their coordinates, to scale, homes too
// close to tell apart under one mark, so that 20,000 of them stay legible.
//
// The overview is plain HTML. Buildings are data that the page's own script reads:
// a slim index of all of them, read at once, and blocks of details, read when a
// card is opened. A page whose script may not run says where else they stand.
package page
