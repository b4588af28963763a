package org.cellherd.app.verb;

import java.util.List;
import org.cellherd.app.Stop;
import org.cellherd.pack.PlainText;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Parameters;

@Command(
    name = "note",
    mixinStandardHelpOptions = true,
    description = {
      "Writes a note into the log, or lists the notes when no text is given.",
      "A note can be corrected and withdrawn; the log keeps what it said before."
    })
final class NoteVerb extends RemarkVerb {

  @Parameters(arity = "0..1", paramLabel = "TEXT", description = "What to remember.")
  private @Nullable String text;

  NoteVerb() {
    super("note", "written");
  }

  @Override
  boolean isGiven() {
    return text != null;
  }

  @Override
  String howToGive() {
    return "say as TEXT what the note should say";
  }

  @Override
  List<Note> given() {
    String said = String.valueOf(text);
    if (PlainText.spacedLines(said).isBlank()) {
      throw Stop.usage("an empty note says nothing; without text, notes are listed");
    }
    return List.of(note(atMs(), said));
  }

  @Override
  void list(LogFile file, AnswerOutput to) throws StorageFailure {
    String pack = log().pack().plan().id();
    new NoteList(
            file.remarks().keptNotes(pack, fromMs(Long.MIN_VALUE), toMs(Long.MAX_VALUE)),
            log().zone())
        .print(to);
  }
}
