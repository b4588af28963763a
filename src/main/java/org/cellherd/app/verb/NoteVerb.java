package org.cellherd.app.verb;

import java.util.concurrent.Callable;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.verb.TimeOption.When;
import org.cellherd.pack.Facts;
import org.cellherd.pack.PlainText;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;
import org.cellherd.store.NoteChange;
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
    description = {
      "Writes a note into the log, or lists the notes when no text is given.",
      "A note can be corrected and withdrawn; the log keeps what it said before."
    })
final class NoteVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private SpanOptions span;
  @Mixin private AnswerOutput output;

  @Option(
      names = "--by",
      paramLabel = "NAME",
      converter = NameOption.class,
      description = "Who writes; else the user's name.")
  private String by = System.getProperty("user.name", "somebody");

  @Option(
      names = "--at",
      paramLabel = "TIME",
      converter = TimeOption.class,
      description = "When it was, written as for --from; else now.")
  private @Nullable When at;

  @Option(
      names = "--correct",
      paramLabel = "N",
      description = "Replace note N of the list by TEXT.")
  private @Nullable Long corrected;

  @Option(
      names = "--withdraw",
      paramLabel = "N",
      description = "Withdraw note N of the list: reports and page leave it out.")
  private @Nullable Long withdrawn;

  @Parameters(arity = "0..1", paramLabel = "TEXT", description = "What to remember.")
  private @Nullable String text;

  private final SystemTime time = new SystemTime();

  @Override
  public Integer call() {
    refuseContradictions();
    String said = text;
    Long changed = corrected == null ? withdrawn : corrected;
    try {
      if (changed != null) {
        change(new NoteChange(changed, time.wallMs(), by, said));
      } else if (said != null) {
        add(said);
      } else {
        list();
      }
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    }
    return log.code();
  }

  private void refuseContradictions() {
    if (text != null && PlainText.spacedLines(text).isBlank()) {
      throw Stop.usage("an empty note says nothing; without text, notes are listed");
    }
    if (corrected != null && withdrawn != null) {
      throw Stop.usage("--correct and --withdraw: a note is either corrected or withdrawn");
    }
    if (corrected != null && text == null) {
      throw Stop.usage("--correct " + corrected + ": say as TEXT what the note should say");
    }
    if (withdrawn != null && text != null) {
      throw Stop.usage(
          "--withdraw " + withdrawn + ": takes no text; --correct gives a note another one");
    }
    if (at != null && (corrected != null || withdrawn != null)) {
      throw Stop.usage(
          "--at is the time of a new note; to move one, withdraw it and write it anew");
    }
  }

  private void add(String said) throws StorageFailure {
    long atMs = at == null ? time.wallMs() : at.resolve(time.wallMs(), log.zone());
    if (atMs > time.wallMs()) {
      throw Stop.usage("the time of the note lies in the future; is it right?");
    }
    try (Remarks remarks = log.openForRemarks()) {
      done(remarks.add(new Note(log.pack().plan().id(), atMs, by, said)), "written");
    }
  }

  private void change(NoteChange change) throws StorageFailure {
    new NoteChanger(log, "note").change(change);
    done(change.noteId(), change.says().isPresent() ? "corrected" : "withdrawn");
  }

  private void done(long id, String what) {
    if (output.isJson()) {
      output.json(Facts.of().put("note", id).put("done", what).build());
    } else {
      output.line("Note " + id + " " + what + ".");
    }
  }

  private void list() throws StorageFailure {
    try (LogFile file = log.openForReading()) {
      new NoteList(
              file.remarks()
                  .keptNotes(
                      log.pack().plan().id(),
                      span.fromMs(time, log.zone()).orElse(Long.MIN_VALUE),
                      span.toMs(time, log.zone()).orElse(Long.MAX_VALUE)),
              log.zone())
          .print(output);
      log.notice(file);
    }
  }
}
