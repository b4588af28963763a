package org.cellherd.store;

import org.cellherd.pack.PlainText;

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
}
