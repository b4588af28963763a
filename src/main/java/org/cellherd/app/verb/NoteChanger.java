package org.cellherd.app.verb;

import org.cellherd.app.Stop;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.KeptNote;
import org.cellherd.store.NoteChange;
import org.cellherd.store.Remarks;

/**
 * Changes notes of one pack that are in the log.
 *
 * @param log where they are
 * @param verb which lists them
 */
record NoteChanger(LogOptions log, String verb) {

  /** Corrects or withdraws a note; refused where there is none, or it was withdrawn. */
  void change(NoteChange change) throws StorageFailure {
    String pack = log.pack().plan().id();
    try (Remarks remarks = log.openForRemarks()) {
      KeptNote note =
          remarks
              .note(pack, change.noteId())
              .orElseThrow(
                  () ->
                      Stop.usage(
                          "pack \""
                              + pack
                              + "\" has no note "
                              + change.noteId()
                              + "; \""
                              + verb
                              + "\" alone lists them"));
      if (note.today().isEmpty()) {
        throw Stop.usage("note " + note.id() + " was withdrawn already; write a new one");
      }
      remarks.change(change);
    }
  }
}
