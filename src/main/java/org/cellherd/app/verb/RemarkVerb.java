package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.Callable;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.verb.TimeOption.When;
import org.cellherd.pack.Facts;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;
import org.cellherd.store.Remarks;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/**
 * What people add to a log: writes it, corrects or withdraws what is there, or lists it where
 * nothing is given.
 */
abstract class RemarkVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private SpanOptions span;
  @Mixin private AnswerOutput output;

  @Option(
      names = "--by",
      paramLabel = "NAME",
      converter = NameOption.class,
      description = "Who says so; else the user's name.")
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
      description = "Replace number N of the list by this one.")
  private @Nullable Long corrected;

  @Option(
      names = "--withdraw",
      paramLabel = "N",
      description = "Withdraw number N of the list: it counts no more, and the list says so.")
  private @Nullable Long withdrawn;

  private final SystemTime time = new SystemTime();
  private final String what;
  private final String done;

  /**
   * A verb.
   *
   * @param what it adds, in a word
   * @param done what was done when it is added, in a word
   */
  RemarkVerb(String what, String done) {
    this.what = what;
    this.done = done;
  }

  /** True when something is to be added, or to stand for what is corrected. */
  abstract boolean isGiven();

  abstract String howToGive();

  abstract List<Note> given();

  abstract void list(LogFile file, AnswerOutput to) throws StorageFailure;

  @Override
  public final Integer call() throws StorageFailure {
    refuseContradictions();
    if (withdrawn != null) {
      change(withdrawn, null);
    } else if (corrected != null) {
      change(corrected, past().get(0).text());
    } else if (isGiven()) {
      add(past());
    } else {
      list();
    }
    return log.code();
  }

  private void refuseContradictions() {
    if (corrected != null && withdrawn != null) {
      throw Stop.usage("--correct and --withdraw: a " + what + " is either corrected or withdrawn");
    }
    if (withdrawn != null && isGiven()) {
      throw Stop.usage(
          "--withdraw " + withdrawn + ": takes no other " + what + "; --correct gives one");
    }
    if (corrected != null && !isGiven()) {
      throw Stop.usage("--correct " + corrected + ": " + howToGive());
    }
    if (at != null && (corrected != null || withdrawn != null)) {
      throw Stop.usage(
          "--at is the time of a new " + what + "; to move one, withdraw it and write it anew");
    }
  }

  final LogOptions log() {
    return log;
  }

  /** From when, ms UTC; what is not given is said. */
  final long fromMs(long otherwise) {
    return span.fromMs(time, log.zone()).orElse(otherwise);
  }

  /** To when, likewise. */
  final long toMs(long otherwise) {
    return span.toMs(time, log.zone()).orElse(otherwise);
  }

  /** The time of what is given, ms UTC. */
  final long atMs() {
    return at == null ? time.wallMs() : at.resolve(time.wallMs(), log.zone());
  }

  final Note note(long ofMs, String text) {
    return new Note(log.pack().plan().id(), ofMs, by, text);
  }

  private List<Note> past() {
    List<Note> given = given();
    if (given.stream().anyMatch(note -> note.atMs() > time.wallMs())) {
      throw Stop.usage("the " + what + " lies in the future; is the time right?");
    }
    return given;
  }

  private void add(List<Note> notes) throws StorageFailure {
    List<Long> numbers = new ArrayList<>();
    try (Remarks remarks = log.openForRemarks()) {
      for (Note note : notes) {
        numbers.add(remarks.add(note));
      }
    }
    numbers.forEach(number -> say(number, done));
  }

  /** Refused where there is none of that number, or it was withdrawn. */
  private void change(long number, @Nullable String text) throws StorageFailure {
    String pack = log.pack().plan().id();
    try (Remarks remarks = log.openForRemarks()) {
      Note.Kept note =
          remarks
              .note(pack, number)
              .orElseThrow(
                  () ->
                      Stop.usage(
                          "pack \"%s\" has no %s %s; the verb alone lists all"
                              .formatted(pack, what, number)));
      if (note.today().isEmpty()) {
        throw Stop.usage(what + " " + number + " was withdrawn already; write a new one");
      }
      remarks.change(new Note.Change(number, time.wallMs(), by, text));
    }
    say(number, text == null ? "withdrawn" : "corrected");
  }

  private void say(long number, String isDone) {
    if (output.isJson()) {
      output.json(Facts.of().put(what, number).put("done", isDone).build());
    } else {
      String name = Character.toUpperCase(what.charAt(0)) + what.substring(1);
      output.line(name + " " + number + " " + isDone + ".");
    }
  }

  private void list() throws StorageFailure {
    try (LogFile file = log.openForReadingOfPack()) {
      list(file, output);
      log.notice(file);
    }
  }
}
