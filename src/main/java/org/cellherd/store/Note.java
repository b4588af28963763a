package org.cellherd.store;

import java.util.List;
import java.util.Optional;
import org.cellherd.pack.PlainText;
import org.jspecify.annotations.Nullable;

/**
 * A person's remark in the log.
 *
 * @param pack the pack's id
 * @param atMs what time it is about, ms UTC
 * @param by who, may be empty
 * @param text the remark
 */
public record Note(String pack, long atMs, String by, String text) {

  /** Takes what a terminal would obey out of name and text, also of a note from before. */
  public Note {
    by = PlainText.spaced(by);
    text = PlainText.spacedLines(text);
  }

  Note saying(String other) {
    return new Note(pack, atMs, by, other);
  }

  /**
   * A note as it is in the log, with all that became of it.
   *
   * @param id its number, never that of another note
   * @param first as it was written
   * @param changes in their order
   */
  public record Kept(long id, Note first, List<Change> changes) {

    public Kept {
      changes = List.copyOf(changes);
    }

    /** What it says today, at the time that it is about; empty when it was withdrawn. */
    public Optional<Note> today() {
      return changes.isEmpty()
          ? Optional.of(first)
          : changes.get(changes.size() - 1).says().map(first::saying);
    }
  }

  /**
   * A correction of a note, or its withdrawal; what the note said before stays in the log.
   *
   * @param noteId number of the note
   * @param atMs when it was changed, ms UTC
   * @param by who changed it, may be empty
   * @param text what the note says from then on; null when it is withdrawn
   */
  public record Change(long noteId, long atMs, String by, @Nullable String text) {

    /** Takes what a terminal would obey out of name and text, also of a change from before. */
    public Change {
      by = PlainText.spaced(by);
      text = text == null ? null : PlainText.spacedLines(text);
    }

    /** What the note says from then on; empty when it is withdrawn. */
    public Optional<String> says() {
      return Optional.ofNullable(text);
    }
  }
}
