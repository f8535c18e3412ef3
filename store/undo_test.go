package store

import (
	"errors"
	"fmt"
	"maps"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"waterkey/desk"
)

// undoModel is what undo and redo should do, on plain maps: a state is the way to
// play by place, and every change keeps the states before and after it.
type undoModel struct {
	state      map[string]string
	undo, redo [][2]map[string]string
}

func (m *undoModel) change(f func(map[string]string)) {
	before := maps.Clone(m.state)
	f(m.state)
	m.undo, m.redo = append(m.undo, [2]map[string]string{before, maps.Clone(m.state)}), nil
}

func (m *undoModel) turn(act desk.Act) bool {
	from, to, side := &m.undo, &m.redo, 0
	if act == desk.ActRedo {
		from, to, side = &m.redo, &m.undo, 1
	}
	if len(*from) == 0 {
		return false
	}
	last := (*from)[len(*from)-1]
	*from, *to = (*from)[:len(*from)-1], append(*to, last)
	m.state = maps.Clone(last[side])
	return true
}

// TestUndoIsAStack compares random work on two sheets of one part with the model,
// one model for each sheet: they must not touch each other.
func TestUndoIsAStack(t *testing.T) {
	s := openNew(t)
	document := addText(t, s, "<score/>")
	run := 0
	rapid.Check(t, func(rt *rapid.T) {
		run++
		part := desk.ID(fmt.Sprint("p", run))
		players := []desk.ID{desk.ID(fmt.Sprint("a", run)), desk.ID(fmt.Sprint("b", run))}
		commit(t, s, desk.Sheet{}, aPart(part, document), aPlayer(players[0]), aPlayer(players[1]))
		models := []*undoModel{{state: map[string]string{}}, {state: map[string]string{}}}
		for range rapid.IntRange(1, 25).Draw(rt, "steps") {
			i := rapid.IntRange(0, 1).Draw(rt, "sheet")
			step(rt, s, desk.Sheet{Part: part, Player: players[i]}, models[i])
			for j, m := range models {
				holdToModel(rt, s, desk.Sheet{Part: part, Player: players[j]}, m)
			}
		}
	})
	checkLog(t, s)
}

// step does one thing to a sheet and its model.
func step(rt *rapid.T, s *Season, sheet desk.Sheet, m *undoModel) {
	switch what := rapid.SampledFrom([]string{"change", "change", "undo", "undo", "redo", "lasting"}).Draw(rt, "what"); what {
	case "undo", "redo":
		act := desk.Act(what)
		turn := s.Undo
		if act == desk.ActRedo {
			turn = s.Redo
		}
		_, err := turn(ctx, sheet, "coach")
		if could := m.turn(act); could != (err == nil) || err != nil && !errors.Is(err, desk.ErrNoChange) {
			rt.Fatalf("%s: %v; the model says %v", act, err, could)
		}
	case "lasting":
		// Nothing that undo sees: a remark that stays.
		mustDo(rt, s, desk.Change{Sheet: sheet, Lasting: true, Edits: []desk.Edit{desk.Put(
			&desk.Mark{Sheet: sheet, Remark: &desk.Remark{Text: "stays"}})}})
	case "change":
		c := desk.Change{Sheet: sheet, Says: "change"}
		places := rapid.SliceOfNDistinct(rapid.SampledFrom([]string{"n1", "n2", "n3", "n4"}), 1, 3, rapid.ID[string]).Draw(rt, "places")
		now := pinned(rt, s, sheet)
		m.change(func(state map[string]string) {
			for _, place := range places {
				c.Edits = append(c.Edits, editPlace(rt, sheet, now[place], place, state))
			}
		})
		mustDo(rt, s, c)
	}
}

// editPlace makes, changes or deletes the pin of a place, in the model too.
func editPlace(rt *rapid.T, sheet desk.Sheet, now *desk.Mark, place string, state map[string]string) desk.Edit {
	way := rapid.SampledFrom([]string{"1", "3", "T1", ""}).Draw(rt, "way")
	switch {
	case now == nil:
		if way == "" {
			way = "6"
		}
		state[place] = way
		return desk.Put(aFix("", sheet.Part, sheet.Player, place, way))
	case way == "":
		delete(state, place)
		return desk.Delete(now)
	}
	now.Position.Way, state[place] = way, way
	return desk.Put(now)
}

func mustDo(rt *rapid.T, s *Season, c desk.Change) {
	if _, err := s.Commit(ctx, c); err != nil {
		rt.Fatal(err)
	}
}

// pinned are the pins of a sheet by place.
func pinned(rt *rapid.T, s *Season, sheet desk.Sheet) map[string]*desk.Mark {
	marks, err := s.Marks(ctx, sheet)
	if err != nil {
		rt.Fatal(err)
	}
	out := map[string]*desk.Mark{}
	for _, m := range marks {
		if m.Position != nil {
			out[m.Position.Where] = m
		}
	}
	return out
}

func holdToModel(rt *rapid.T, s *Season, sheet desk.Sheet, m *undoModel) {
	got := map[string]string{}
	for place, mark := range pinned(rt, s, sheet) {
		got[place] = mark.Position.Way
	}
	if diff := cmp.Diff(m.state, got); diff != "" {
		rt.Fatalf("model -, store +\n%s", diff)
	}
	undo, redo, err := s.Next(ctx, sheet)
	if err != nil || (undo != nil) != (len(m.undo) > 0) || (redo != nil) != (len(m.redo) > 0) {
		rt.Fatalf("next are %v and %v (%v); the model has %d and %d", undo, redo, err, len(m.undo), len(m.redo))
	}
}

func TestUndoRefusesWhatAnotherSheetChanged(t *testing.T) {
	s := openNew(t)
	sheet := furnish(t, s)
	// The arm is changed on the sheet, then on the list of players.
	anna := must(s.Player(ctx, "anna"))(t)
	anna.ReachCM = 60
	commit(t, s, sheet, anna)
	anna.ReachCM = 62
	commit(t, s, desk.Sheet{Player: "anna"}, anna)
	if _, err := s.Undo(ctx, sheet, "coach"); !errors.Is(err, desk.ErrConflict) {
		t.Errorf("undo over a later change: %v, want a conflict", err)
	}
	must(s.Undo(ctx, desk.Sheet{Player: "anna"}, "coach"))(t)
	must(s.Undo(ctx, sheet, "coach"))(t)
	if got := must(s.Player(ctx, "anna"))(t); got.ReachCM != 58.5 || got.Revision <= anna.Revision {
		t.Errorf("reach %g at revision %d, want 58.5 at a new revision after %d", got.ReachCM, got.Revision, anna.Revision)
	}
	checkLog(t, s)
}

func TestAnUndoneRecordIsNewToOtherTabs(t *testing.T) {
	s := openNew(t)
	sheet := furnish(t, s)
	mark := aFix("m9", "harbor", "anna", "n99", "1")
	commit(t, s, sheet, mark)
	must(s.Undo(ctx, sheet, "coach"))(t)
	must(s.Redo(ctx, sheet, "coach"))(t)
	var conflict *desk.ConflictError
	_, err := s.Commit(ctx, desk.Change{Sheet: sheet, Edits: []desk.Edit{desk.Delete(mark)}})
	if !errors.As(err, &conflict) || conflict.Yours != mark.Revision || conflict.Now != mark.Revision+2 {
		t.Errorf("%v; want a conflict of revisions %d and %d", err, mark.Revision, mark.Revision+2)
	}
}

func TestHistoryListsWhatWasDone(t *testing.T) {
	s := openNew(t)
	sheet := furnish(t, s)
	undone := must(s.Undo(ctx, sheet, "anna"))(t)
	all := must(s.History(ctx, desk.Sheet{}, 0, 0))(t)
	same(t, undone, all[len(all)-1])
	if last := must(s.Revision(ctx))(t); int(last) != len(all) || undone.Of != 4 || undone.Author != "anna" {
		t.Errorf("revision %d of %d entries; undone %+v", last, len(all), undone)
	}
	if got := must(s.History(ctx, sheet, 3, 1))(t); len(got) != 1 || got[0].Revision != 4 {
		t.Errorf("one entry after the third: %+v", got)
	}
}

func TestTheLogIsOnlyAddedTo(t *testing.T) {
	s := openNew(t)
	furnish(t, s)
	if _, err := s.writer.ExecContext(ctx, "UPDATE changes SET doc = '{}'"); err == nil {
		t.Error("an entry was changed")
	}
}
