package org.cellherd.store;

import java.util.List;
import java.util.Optional;

/**
 * A note as it is in the log, with all that became of it.
 *
 * @param id its number, never that of another note
 * @param first as it was written
 * @param changes in their order
 */
public record KeptNote(long id, Note first, List<NoteChange> changes) {

  public KeptNote {
    changes = List.copyOf(changes);
  }

  /** What it says today, at the time that it is about; empty when it was withdrawn. */
  public Optional<Note> today() {
    return changes.isEmpty()
        ? Optional.of(first)
        : changes.get(changes.size() - 1).says().map(first::saying);
  }
}
