package store

import (
	"context"
	"strings"

	"waterkey/desk"
)

// Players implements desk.Book.
func (s *Season) Players(ctx context.Context) ([]*desk.Player, error) {
	return list[desk.Player](ctx, s.reader, "SELECT doc FROM players ORDER BY name, id")
}

// Player implements desk.Book.
func (s *Season) Player(ctx context.Context, id desk.ID) (*desk.Player, error) {
	return one[*desk.Player](ctx, s.reader, desk.KindPlayer, id)
}

// Parts implements desk.Book. Parts without a date come last.
func (s *Season) Parts(ctx context.Context) ([]*desk.Part, error) {
	return list[desk.Part](ctx, s.reader, "SELECT doc FROM parts ORDER BY due = '', due, place, title, id")
}

// Part implements desk.Book.
func (s *Season) Part(ctx context.Context, id desk.ID) (*desk.Part, error) {
	return one[*desk.Part](ctx, s.reader, desk.KindPart, id)
}

// Assignments implements desk.Book.
func (s *Season) Assignments(ctx context.Context, sheet desk.Sheet) ([]*desk.Assignment, error) {
	f := filter{}
	f.sheet(sheet)
	return list[desk.Assignment](ctx, s.reader, "SELECT doc FROM assignments"+f.where()+" ORDER BY part_id, player_id", f.args...)
}

// Marks implements desk.Book, in order of id.
func (s *Season) Marks(ctx context.Context, sheet desk.Sheet) ([]*desk.Mark, error) {
	f := filter{}
	f.sheet(desk.Sheet{Part: sheet.Part})
	if sheet.Player != "" {
		f.add("(player_id = ? OR player_id IS NULL)", sheet.Player)
	}
	return list[desk.Mark](ctx, s.reader, "SELECT doc FROM marks"+f.where()+" ORDER BY id", f.args...)
}

// Takes implements desk.Book.
func (s *Season) Takes(ctx context.Context, q desk.TakeQuery) ([]*desk.Take, error) {
	query, args := takes("takes.doc", "", q)
	return list[desk.Take](ctx, s.reader, query, args...)
}

// Take implements desk.Book.
func (s *Season) Take(ctx context.Context, id desk.ID) (*desk.Take, error) {
	return one[*desk.Take](ctx, s.reader, desk.KindTake, id)
}

// Measures implements desk.Book.
func (s *Season) Measures(ctx context.Context, q desk.TakeQuery) ([]*desk.Measure, error) {
	query, args := takes("measures.doc", " JOIN measures USING (id)", q)
	return list[desk.Measure](ctx, s.reader, query, args...)
}

// Measure implements desk.Book.
func (s *Season) Measure(ctx context.Context, take desk.ID) (*desk.Measure, error) {
	return one[*desk.Measure](ctx, s.reader, desk.KindMeasure, take)
}

// PracticeDays implements desk.Book.
func (s *Season) PracticeDays(ctx context.Context, sheet desk.Sheet) ([]*desk.PracticeDay, error) {
	f := filter{}
	f.sheet(sheet)
	return list[desk.PracticeDay](ctx, s.reader, "SELECT doc FROM days"+f.where()+" ORDER BY date, part_id, player_id", f.args...)
}

// takes is the query for a selection of takes, newest first. A limit counts takes,
// whether or not they were measured.
func takes(column, join string, q desk.TakeQuery) (string, []any) {
	f := filter{}
	f.sheet(q.Sheet)
	if !q.Since.IsZero() {
		f.add("recorded_ms >= ?", q.Since.UnixMilli())
	}
	limit := q.Limit
	if limit <= 0 {
		limit = -1 // SQLite: no limit
	}
	inner := "SELECT id, recorded_ms, doc FROM takes" + f.where() + " ORDER BY recorded_ms DESC, id LIMIT ? OFFSET ?"
	return "SELECT " + column + " FROM (" + inner + ") AS takes" + join + " ORDER BY takes.recorded_ms DESC, takes.id",
		append(f.args, limit, q.Offset)
}

// one reads a record that must be there.
func one[R desk.Record](ctx context.Context, q querier, k desk.Kind, id desk.ID) (R, error) {
	var none R
	r, err := get(ctx, q, desk.Ref{Kind: k, ID: id})
	if err != nil {
		return none, err
	}
	if r == nil {
		return none, &desk.NotFoundError{Ref: desk.Ref{Kind: k, ID: id}}
	}
	return r.(R), nil
}

// filter gathers conditions.
type filter struct {
	conditions []string
	args       []any
}

func (f *filter) add(condition string, arg any) {
	f.conditions = append(f.conditions, condition)
	f.args = append(f.args, arg)
}

// sheet keeps to the halves of a sheet that are given.
func (f *filter) sheet(s desk.Sheet) {
	if s.Part != "" {
		f.add("part_id = ?", s.Part)
	}
	if s.Player != "" {
		f.add("player_id = ?", s.Player)
	}
}

func (f *filter) where() string {
	if len(f.conditions) == 0 {
		return ""
	}
	return " WHERE " + strings.Join(f.conditions, " AND ")
}
