package org.cellherd.app.verb;

import java.time.ZoneId;
import java.util.ArrayList;
import java.util.List;
import org.cellherd.pack.Facts;
import org.cellherd.pack.SpokenTime;
import org.cellherd.store.Note;

/**
 * Notes with their numbers, and what became of them.
 *
 * @param notes in the order of the times that they are about
 * @param zone of the times on a line; JSON has UTC
 */
record NoteList(List<Note.Kept> notes, ZoneId zone) {

  NoteList {
    notes = List.copyOf(notes);
  }

  void print(AnswerOutput output) {
    if (output.isJson()) {
      output.json(notes.stream().map(NoteList::facts).toList());
      return;
    }
    if (notes.isEmpty()) {
      output.line("No note in this time.");
    }
    for (Note.Kept note : notes) {
      String text = note.today().map(n -> oneLine(n.text())).orElse("(withdrawn)");
      String time = SpokenTime.second(note.first().atMs(), zone);
      output.line("%s  %s  %s: %s".formatted(note.id(), time, note.first().by(), text));
      changes(note).forEach(output::line);
    }
  }

  private List<String> changes(Note.Kept note) {
    List<String> lines = new ArrayList<>();
    String before = note.first().text();
    for (Note.Change change : note.changes()) {
      lines.add(
          "   "
              + verb(change)
              + " "
              + SpokenTime.second(change.atMs(), zone)
              + " by "
              + change.by()
              + "; before: "
              + oneLine(before));
      before = change.says().orElse("");
    }
    return lines;
  }

  private static String verb(Note.Change change) {
    return change.says().isPresent() ? "corrected" : "withdrawn";
  }

  private static String oneLine(String text) {
    return text.strip().replaceAll("\\s*\\R\\s*", " / ");
  }

  /** {@code text} is what the note says today, {@code before} what a change did away with. */
  private static Facts facts(Note.Kept note) {
    List<Facts> changes = new ArrayList<>();
    String before = note.first().text();
    for (Note.Change change : note.changes()) {
      changes.add(
          Facts.of()
              .put("done", verb(change))
              .putTime("time", change.atMs())
              .put("by", change.by())
              .put("before", before)
              .build());
      before = change.says().orElse("");
    }
    return Facts.of()
        .put("note", note.id())
        .put("pack", note.first().pack())
        .putTime("time", note.first().atMs())
        .put("by", note.first().by())
        .put("text", note.today().map(Note::text).orElse(null))
        .put("changes", changes)
        .build();
  }
}
