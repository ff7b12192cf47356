// Package config owns the settings and every table a run is judged by:
// materials, stations, zones, strategies, gates, steps and limits. It layers,
// weakest first, the embedded defaults, the user's files, the environment and
// the values given on the command line, remembers where each value came from,
// and checks the whole before anything is computed.
//
// It refuses to know inventories (no column, building or file of one is named
// here), to compute physics, and to guess: an unknown key, a value of the
// wrong type, a reference to nothing or a range out of order is an error that
// names the key, the value, the source and what was expected.
//
// What a key means and may hold is data too: fields.yaml.
//
// A row of a user's file changes single fields of a default row, is new, is as
// another with changes (`like`), or takes one out (`drop`). Lists are replaced whole.
// Keys and ids are lower snake_case, because the layering is blind to letter case;
// words that need other letters, such as inventory headers, are values in lists of
// {from, to} entries, never keys.
package config
