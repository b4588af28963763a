package org.cellherd.app.verb;

import java.util.ArrayList;
import java.util.List;
import java.util.OptionalLong;
import java.util.concurrent.Callable;
import org.cellherd.analysis.meter.MeterReading;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.verb.TimeOption.When;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Note;
import org.cellherd.store.NoteChange;
import org.cellherd.store.Remarks;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

/** {@code cellherd meter}. */
@Command(
    name = "meter",
    mixinStandardHelpOptions = true,
    description = {
      "Records what a trusted meter says of a pack, or lists such readings beside what the board"
          + " said.",
      "Every estimate then allows for the errors of the board that the readings show. A running"
          + " daemon takes them up at its next start.",
      "Measure only what you can reach without risk: a clamp around a cable, probes with fused"
          + " leads on terminals. A pack cannot be switched off."
    })
final class MeterVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private MeterOptions meter;
  @Mixin private SpanOptions span;
  @Mixin private AnswerOutput output;

  @Option(
      names = "--by",
      paramLabel = "NAME",
      converter = NameOption.class,
      description = "Who measured; else the user's name.")
  private String by = System.getProperty("user.name", "somebody");

  @Option(
      names = "--at",
      paramLabel = "TIME",
      converter = TimeOption.class,
      description = "When it was read, written as for --from; else now.")
  private @Nullable When at;

  @Option(
      names = "--correct",
      paramLabel = "N",
      description = "Replace reading N of the list by this one.")
  private @Nullable Long corrected;

  @Option(names = "--withdraw", paramLabel = "N", description = "Withdraw reading N of the list.")
  private @Nullable Long withdrawn;

  private final SystemTime time = new SystemTime();

  @Override
  public Integer call() {
    refuseContradictions();
    try {
      if (withdrawn != null) {
        change(withdrawn, null);
      } else if (corrected != null) {
        change(corrected, readings().get(0).text());
      } else if (meter.isGiven()) {
        add(readings());
      } else {
        return list();
      }
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    }
    return ExitCode.DONE;
  }

  private void refuseContradictions() {
    if (corrected != null && withdrawn != null) {
      throw Stop.usage("--correct and --withdraw: a reading is either corrected or withdrawn");
    }
    if (withdrawn != null && meter.isGiven()) {
      throw Stop.usage("--withdraw " + withdrawn + " takes no value; --correct gives another one");
    }
    if (corrected != null && !meter.isGiven()) {
      throw Stop.usage("--correct " + corrected + ": say what the meter read, as --current 4.2");
    }
    if (corrected != null && at != null) {
      throw Stop.usage(
          "--at is the time of a new reading; to move one, withdraw it and write it anew");
    }
  }

  private List<MeterReading> readings() {
    int series = log.pack().plan().series();
    if (meter.highestCell() > series) {
      throw Stop.usage(
          "--cell " + meter.highestCell() + ": the pack has " + Spoken.counted(series, "cell"));
    }
    OptionalLong from = span.fromMs(time, log.zone());
    OptionalLong to = span.toMs(time, log.zone());
    if (meter.isCounted() != (from.isPresent() && to.isPresent())) {
      throw Stop.usage(
          meter.isCounted()
              ? "a counter's reading needs --from and --to"
              : "--from and --to go with --charge and --energy; an instant has --at");
    }
    long atMs = at == null ? time.wallMs() : at.resolve(time.wallMs(), log.zone());
    List<MeterReading> given = meter.readings(from.orElse(atMs), to.orElse(atMs));
    if (given.stream().anyMatch(r -> r.toMs() > time.wallMs())) {
      throw Stop.usage("the reading lies in the future; is the time right?");
    }
    return given;
  }

  private void add(List<MeterReading> readings) throws StorageFailure {
    List<Long> numbers = new ArrayList<>();
    try (Remarks remarks = log.openForRemarks()) {
      for (MeterReading reading : readings) {
        Note note = new Note(log.pack().plan().id(), reading.toMs(), by, reading.text());
        numbers.add(remarks.add(note));
      }
    }
    for (long number : numbers) {
      done(number, "recorded");
    }
  }

  private void change(long number, @Nullable String text) throws StorageFailure {
    new NoteChanger(log, "meter").change(new NoteChange(number, time.wallMs(), by, text));
    done(number, text == null ? "withdrawn" : "corrected");
  }

  private void done(long number, String what) {
    if (output.isJson()) {
      output.json(Facts.of().put("reading", number).put("done", what).build());
    } else {
      output.line("Reading " + number + " " + what + ".");
    }
  }

  private int list() throws StorageFailure {
    try (LogFile file = log.openForReading()) {
      MeterList.of(file, log.pack(), log.zone()).print(output);
      return LogOptions.answered(file);
    }
  }
}
