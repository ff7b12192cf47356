package main

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen/report"
)

// guessed marks a line that nobody has read yet.
const guessed = "suggestion, check it"

// writeMapping writes the mapping in force to a new file, with what a list of its
// own headers and words still needs: suggestions where a name is near, else lines
// to fill. It returns what is to be said of it.
//
// Words are only read once columns are: so the list is read again with the columns
// that were suggested.
func (c *checked) writeMapping(ctx context.Context, path string, opt ingest.Options, inventories []string) (notes []string, err error) {
	proposals, missing := c.src.Propose()
	read, guesses := c, 0
	columns := maps.Clone(opt.Columns)
	for _, p := range proposals {
		if p.Column != "" { // also in doubt: words are the same in any unit
			columns[p.Header] = []string{p.Column}
			guesses++
		}
	}
	if guesses > 0 && c.src.Regular() {
		opt.Columns = columns
		src, err := ingest.Open(inventories, opt)
		if err != nil {
			return nil, fmt.Errorf("reading the list with the suggested columns: %w", err)
		}
		read = newChecked(c.cfg, src)
		if err := read.read(ctx, "", func(int) {}); err != nil {
			return nil, err
		}
	}
	var m mapping
	m.line("# Columns and words of %s, guessed from their names alone.", ingest.Printable(strings.Join(inventories, ", ")))
	m.line("# A line marked %q takes effect as it stands: hold it against the list, mend it,", guessed)
	m.line("# and take the mark off. A line that is a comment waits: fill in \"to\", and take its first # off.")
	m.line("# Then: wallsift check --config %s INVENTORY. With --write-mapping NEXT as well, a new file has these", path)
	m.line("# lines without their marks, as lines that you have read, and what is still left.")
	m.line("input:")
	m.columns(c.cfg.Input.Columns, proposals, missing)
	m.aliases(read)
	if err := writeNew(path, m.text.String()); err != nil {
		return nil, err
	}
	notes = append(notes, fmt.Sprintf("%s: %s to check, %s to fill; a suggestion takes effect when the file is given with --config", path, report.Counted(m.guesses, "suggestion"), report.Counted(m.left, "line")))
	if guesses > 0 && !c.src.Regular() {
		notes = append(notes, path+": a stream cannot be read twice, so words in the suggested columns are not in it; check again with it")
	}
	return notes, nil
}

// mapping is a configuration file on its way.
type mapping struct {
	text          strings.Builder
	guesses, left int
}

func (m *mapping) line(format string, about ...any) { fmt.Fprintf(&m.text, format+"\n", about...) }

// mapped is one line of a list: in force, suggested, or waiting to be filled.
type mapped struct {
	text, remark string
	live         bool
}

// list writes a list. A key above no entry that is in force is a comment too: an
// empty list is no list.
func (m *mapping) list(key string, list []mapped) {
	if !slices.ContainsFunc(list, func(e mapped) bool { return e.live }) {
		m.line("  # %s:  # take this # off with the first line below", key)
	} else {
		m.line("  %s:", key)
	}
	for _, e := range list {
		mark := "    - "
		switch {
		case !e.live:
			mark = "    # - "
			m.left++
		case strings.HasPrefix(e.remark, guessed):
			m.guesses++
		}
		if e.remark != "" {
			e.remark = "  # " + e.remark
		}
		m.line("%s{%s}%s", mark, e.text, e.remark)
	}
}

func (m *mapping) columns(given []config.Column, proposals []ingest.Proposal, missing []ingest.Column) {
	var list []mapped
	for _, k := range given {
		list = append(list, mapped{text: fmt.Sprintf("from: %q, to: %q", k.From, k.To), live: true})
	}
	for _, p := range proposals {
		line := mapped{text: fmt.Sprintf("from: %q, to: %q", p.Header, cmp.Or(p.Column, "-"))}
		switch {
		case p.Column == "":
			line.remark = "no suggestion; as it is, the column rides through untouched"
		case p.Doubt != "":
			line.remark = "perhaps: " + p.Doubt
		default:
			line.remark, line.live = guessed+": "+p.Help, true
		}
		list = append(list, line)
	}
	m.list("columns", list)
	for _, col := range missing {
		m.line("    # required, and no header seems to be it: %s (%s)", strings.Join(col.Headers(), " or "), col.Help)
	}
}

func (m *mapping) aliases(c *checked) {
	var list []mapped
	for _, a := range c.cfg.Input.Aliases {
		list = append(list, mapped{text: fmt.Sprintf("field: %s, from: %q, to: %q", a.Field, a.From, a.To), live: true})
	}
	done := map[string]bool{}
	for _, k := range c.words.sorted() {
		same := k.field + " " + k.value
		number := strings.Trim(k.value, "0123456789.,-+ ") == "" && k.value != ""
		if k.field == "building_id" || k.field == "home_id" || number || done[same] { // ids and numbers have no other spellings
			continue
		}
		done[same] = true
		rows := report.Counted(c.words.counts[k].rows, "row")
		text := func(to string) string { return fmt.Sprintf("field: %s, from: %q, to: %q", k.field, k.value, to) }
		switch to := c.src.ProposeWord(k.field, k.value); {
		case k.value == "" && to == "": // the fact is required
		case k.value == "":
			list = append(list, mapped{text: text(to), remark: rows + " blank; to read a blank as unknown, where that is what it means"})
		case to != "":
			list = append(list, mapped{text(to), guessed + ": " + rows, true})
		default:
			list = append(list, mapped{text: text(""), remark: rows + "; " + k.reason})
		}
	}
	m.list("aliases", list)
	if c.words.more {
		m.line("    # and more than these %d words: map them first", keptWords)
	}
	if c.in.BrokenFiles > 0 {
		m.line("    # %s, and their words with them: fill the columns above and check again", broken(c.in.BrokenFiles))
	}
}
