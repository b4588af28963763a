package org.cellherd.app.verb;

import java.util.List;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.verb.TimeOption.When;
import org.cellherd.pack.Facts;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;
import org.cellherd.store.Remarks;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

/** {@code cellherd note}. */
@Command(
    name = "note",
    mixinStandardHelpOptions = true,
    description = "Writes a note into the log, or lists the notes when no text is given.")
final class NoteVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private SpanOptions span;
  @Mixin private AnswerOutput output;

  @Option(names = "--by", paramLabel = "NAME", description = "Who writes; else the user's name.")
  private String by = System.getProperty("user.name", "somebody");

  @Option(
      names = "--at",
      paramLabel = "TIME",
      converter = TimeOption.class,
      description = "When it was, written as for --from; else now.")
  private @Nullable When at;

  @Parameters(arity = "0..1", paramLabel = "TEXT", description = "What to remember.")
  private @Nullable String text;

  @Override
  public Integer call() {
    String pack = log.pack().plan().id();
    SystemTime time = new SystemTime();
    try {
      if (text != null) {
        if (text.isBlank()) {
          throw new Stop(
              ExitCode.USAGE, "an empty note says nothing; without text, notes are listed");
        }
        try (Remarks remarks = Remarks.open(log.file(), log.storeSettings())) {
          remarks.add(new Note(pack, atMs(time), by, text));
        }
        return ExitCode.DONE;
      }
      try (LogFile file = log.openForReading()) {
        print(
            file.remarks()
                .notes(
                    pack,
                    span.fromMs(time, log.zone()).orElse(Long.MIN_VALUE),
                    span.toMs(time, log.zone()).orElse(Long.MAX_VALUE)));
      }
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    }
    return ExitCode.DONE;
  }

  private static String oneLine(String text) {
    return text.strip().replaceAll("\\s*\\R\\s*", " / ");
  }

  private long atMs(SystemTime time) {
    return at == null ? time.wallMs() : at.resolve(time.wallMs(), log.zone());
  }

  private void print(List<Note> notes) {
    if (output.isJson()) {
      output.json(
          notes.stream()
              .map(
                  n ->
                      Facts.of()
                          .put("pack", n.pack())
                          .putTime("time", n.atMs())
                          .put("by", n.by())
                          .put("text", n.text())
                          .build())
              .toList());
      return;
    }
    if (notes.isEmpty()) {
      output.line("No note in this time.");
    }
    for (Note note : notes) {
      output.line(
          LocalTime.of(note.atMs(), log.zone()) + "  " + note.by() + ": " + oneLine(note.text()));
    }
  }
}
