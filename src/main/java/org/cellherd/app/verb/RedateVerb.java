package org.cellherd.app.verb;

import java.time.Duration;
import java.util.OptionalLong;
import java.util.concurrent.Callable;
import java.util.function.LongUnaryOperator;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.Refold;
import org.cellherd.app.verb.TimeOption.When;
import org.cellherd.pack.StorageFailure;
import org.cellherd.store.LogFile;
import org.cellherd.store.Redating;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

@Command(
    name = "redate",
    mixinStandardHelpOptions = true,
    header = "Gives readings that a wrong clock wrote their right times.",
    description = {
      "Without --by and --first it lists the periods of the log, each by one clock, and what was"
          + " re-dated before.",
      "With one of them it says what would change; --write does it. Findings are made anew from"
          + " the new times. What alerts reported then and notes move with the readings; the times"
          + " within an alert's text stay, and it says so. The log remembers what was changed; the"
          + " same with the opposite offset undoes it."
    })
final class RedateVerb implements Callable<Integer> {

  @Mixin private LogOptions log;
  @Mixin private AnswerOutput output;
  @Mixin private SpanOptions span;

  @Option(
      names = "--period",
      paramLabel = "N",
      description = "Only period N of the list; else all readings from --from to --to.")
  private @Nullable Long stretch;

  @Option(
      names = "--by",
      paramLabel = "OFFSET",
      converter = OffsetOption.class,
      description = "What is added to each time: -2h, 1h30min, -14610d.")
  private @Nullable Duration by;

  @Option(
      names = "--first",
      paramLabel = "TIME",
      converter = TimeOption.class,
      description = "When the first of these readings was really taken, written as for --from.")
  private @Nullable When first;

  @Option(names = "--who", paramLabel = "NAME", description = "Your name, kept in the log.")
  private String who = System.getProperty("user.name", "");

  @Option(names = "--write", description = "Change the log.")
  private boolean isWriting;

  private final SystemTime time = new SystemTime();

  @Override
  public Integer call() throws StorageFailure {
    refuseContradictions();
    try {
      if (by == null && first == null) {
        return list();
      }
      try (LogFile file = log.openForWriting()) {
        return redate(file, log.pack());
      }
    } catch (StorageFailure failure) {
      if (failure.kind() == StorageFailure.Kind.REFUSED) {
        throw Stop.usage(String.valueOf(failure.getMessage()));
      }
      throw failure;
    }
  }

  private void refuseContradictions() {
    if (by != null && first != null) {
      throw Stop.usage("--by and --first both say where the readings go; give one of them");
    }
    boolean isMoving = by != null || first != null;
    boolean isSpan = fromMs().isPresent() || toMs().isPresent();
    if (isMoving && stretch == null && !isSpan) {
      throw Stop.usage("which readings? --period N of the list, or --from and --to");
    }
    if (stretch != null && isSpan) {
      throw Stop.usage(
          "--period " + stretch + " is a whole period; --from and --to choose by time");
    }
    if (!isMoving && (isWriting || stretch != null)) {
      throw Stop.usage("say by how much: --by OFFSET, or --first TIME");
    }
    if (by != null && by.isZero()) {
      throw Stop.usage("--by 0 changes nothing");
    }
  }

  private OptionalLong fromMs() {
    return span.fromMs(time, log.zone());
  }

  private OptionalLong toMs() {
    return span.toMs(time, log.zone());
  }

  private Integer list() throws StorageFailure {
    try (LogFile file = log.openForReading()) {
      String pack = log.pack().plan().id();
      new StretchList(file.stretches(pack), file.redatings(pack), log.zone())
          .print(output, time.wallMs());
      return LogOptions.answered(file);
    }
  }

  private Integer redate(LogFile file, PackConfig pack) throws StorageFailure {
    Redating asked =
        new Redating(
            pack.plan().id(),
            stretch == null ? OptionalLong.empty() : OptionalLong.of(stretch),
            fromMs().orElse(Long.MIN_VALUE),
            toMs().orElse(Long.MAX_VALUE),
            offset(),
            who,
            time.wallMs());
    Redating.Done done = file.writer().redate(asked, !isWriting);
    if (done.readings() == 0) {
      throw Stop.usage(
          (stretch == null ? "there are no readings" : "there is no period " + stretch)
              + (stretch == null ? " from --from to --to" : " with readings")
              + "; \"redate\" without --by lists what there is");
    }
    if (isWriting) {
      refold(file, pack);
    }
    StretchList.print(output, done, log.zone(), isWriting);
    return ExitCode.DONE;
  }

  private LongUnaryOperator offset() {
    When known = first;
    if (known != null) {
      long right = known.resolve(time.wallMs(), log.zone());
      return wrong -> right - wrong;
    }
    long offset = by == null ? 0 : by.toMillis();
    return wrong -> offset;
  }

  private static void refold(LogFile file, PackConfig pack) throws StorageFailure {
    Refold.run(file, pack, file.hasJudged(pack.plan().id()));
  }
}
