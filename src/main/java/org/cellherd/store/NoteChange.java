package org.cellherd.store;

import java.util.Optional;
import org.cellherd.pack.PlainText;
import org.jspecify.annotations.Nullable;

/**
 * A correction of a note, or its withdrawal; what the note said before stays in the log.
 *
 * @param noteId number of the note
 * @param atMs when it was changed, ms UTC
 * @param by who changed it, may be empty
 * @param text what the note says from then on; null when it is withdrawn
 */
public record NoteChange(long noteId, long atMs, String by, @Nullable String text) {

  /** Takes what a terminal would obey out of name and text, also of a change from before. */
  public NoteChange {
    by = PlainText.spaced(by);
    text = text == null ? null : PlainText.spacedLines(text);
  }

  /** What the note says from then on; empty when it is withdrawn. */
  public Optional<String> says() {
    return Optional.ofNullable(text);
  }
}
