package org.cellherd.app.verb;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.concurrent.Callable;
import org.cellherd.app.ExitCode;
import org.cellherd.app.Stop;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.Config;
import org.cellherd.app.config.Decoders;
import org.cellherd.app.config.LineConfig;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.Lines;
import org.cellherd.board.BoardListener;
import org.cellherd.board.BoardOnLine;
import org.cellherd.board.LineClock;
import org.cellherd.board.LinePoller;
import org.cellherd.board.Link;
import org.cellherd.mqtt.ReadingFacts;
import org.cellherd.pack.Facts;
import org.cellherd.pack.Gap;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.PackPlan;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SilenceWords;
import org.cellherd.pack.Spoken;
import org.cellherd.pack.StorageFailure;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Patience;
import org.cellherd.store.LogFile;
import org.cellherd.store.sql.OpenMode;
import org.jspecify.annotations.Nullable;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;

@Command(
    name = "read",
    mixinStandardHelpOptions = true,
    header = "Asks a board once and shows its readings in words.",
    description =
        "Stores nothing. With --link and --spec no config is needed. Beside a running \"cellherd"
            + " run\" it shows the newest reading of the log, and its age.")
final class ReadVerb implements Callable<Integer> {

  /** A value that came alone is told of for so long, as by the analyses. */
  private static final long DOUBT_MS = 3_600_000;

  private static final long PATIENCE_NANOS = 15_000_000_000L;

  /** Nothing came from a board that is not asked: it has no address to be wrong. */
  private static final String UNASKED =
      "nothing came, and by its description this board sends without being asked; look at cable and"
          + " baud rate, whether another program has the line, and the description";

  @Mixin private ConfigOption config;
  @Mixin private AnswerOutput output;

  @Option(names = "--pack", paramLabel = "ID", description = "A pack of the config.")
  private @Nullable String pack;

  @Option(
      names = "--link",
      paramLabel = "LINK",
      description = "Port path, tcp:, modbus-tcp: or rfc2217:HOST:PORT.")
  private @Nullable String link;

  @Option(names = "--spec", paramLabel = "SPEC", description = "A description's id or file.")
  private @Nullable String spec;

  @Option(
      names = "--address",
      paramLabel = "N",
      defaultValue = "1",
      description = "Address on the line.")
  private int address;

  @Option(
      names = "--baud",
      paramLabel = "N",
      description = "Speed of the line; default: the description's.")
  private @Nullable Integer baud;

  @Option(names = "--watch", description = "Keep reading, once a second.")
  private boolean watch;

  @Override
  public Integer call() throws InterruptedException, StorageFailure {
    LineConfig line = line();
    if (link == null && isWatched()) {
      return fromLog(line);
    }
    Optional<PackPlan> plan = plan();
    SystemTime time = new SystemTime();
    Decoder decoder = Lines.carried(line, new Decoders(specHome()).find(line.spec()));
    Link wire = Lines.systemLinks(time).apply(line);
    Dialogue dialogue = decoder.dialogue(line.address());
    Ear ear = new Ear();
    LinePoller poller =
        new LinePoller(
            wire,
            List.of(BoardOnLine.alone(dialogue, line.settings(decoder.line()))),
            LineClock.of(time),
            ear);
    ReadingText text = new ReadingText(plan);
    long tried = time.monotonicNanos() + triesNanos(dialogue.patience());
    long deadline = Math.max(tried, time.monotonicNanos() + PATIENCE_NANOS);
    while (watch || time.monotonicNanos() < deadline) {
      poller.step();
      Reading reading = ear.reading;
      Gap gap = ear.gap;
      if (reading != null) {
        ear.reading = null;
        ear.gap = null;
        show(text, reading, dialogue);
        if (!watch) {
          poller.stop();
          return ExitCode.DONE;
        }
      } else if (gap != null && !watch) {
        boolean isHalfHeard =
            dialogue.counts().framesTaken() > 0 && gap.cause() == Gap.Cause.NO_BYTES;
        if (!isHalfHeard && time.monotonicNanos() >= tried) {
          break;
        }
      } else if (gap != null) {
        ear.gap = null;
        long seconds = (gap.toMs() - gap.fromMs()) / 1000;
        String old = " (silent for " + seconds + " s, the reading above is old)";
        output.err().println(trouble(line, dialogue, ear.note, gap.cause()) + old);
      }
    }
    Gap.Cause cause = ear.gap == null ? soFar(dialogue) : ear.gap.cause();
    // Whole frames came, so that the link is of the right kind.
    boolean isOfBoard = cause == Gap.Cause.WRONG_ANSWER || cause == Gap.Cause.DECLINED;
    boolean isAdvised = ear.note.isEmpty() && !isOfBoard;
    String watched = ear.note.isEmpty() ? watched(line) : "";
    String advice = isAdvised && !wire.advice().isEmpty() ? "; " + wire.advice() : "";
    throw new Stop(
        ExitCode.LINK,
        trouble(line, dialogue, ear.note, cause) + (watched.isEmpty() ? advice : "; " + watched));
  }

  /** Of a board that talks when it wants, and has not been silent for long enough to be missed. */
  private static Gap.Cause soFar(Dialogue dialogue) {
    boolean isNothing =
        dialogue.counts().bytesThrownAway() == 0 && dialogue.lastRefusal().isEmpty();
    return isNothing ? Gap.Cause.NO_BYTES : Gap.Cause.BAD_CHECKSUM;
  }

  /** A board by TCP mostly talks to one program, and does not say to which. */
  private String watched(LineConfig line) {
    try {
      boolean isOfPack =
          config.isThere()
              && config.loadToAsk().packs().stream()
                  .flatMap(each -> each.line().stream())
                  .anyMatch(each -> each.link().equals(line.link()));
      return isOfPack && isWatched()
          ? "cellherd run watches this board; \"cellherd read\" without --link shows its newest"
              + " reading"
          : "";
    } catch (Stop unknown) {
      return "";
    }
  }

  /** Who cannot see that a log is being written may not ask the board that its writer asks. */
  private boolean isWatched() {
    try {
      return LogFile.isBeingWritten(config.loadToAsk().storeFile());
    } catch (StorageFailure failure) {
      throw LogOptions.storeStop(failure);
    }
  }

  /** How long three tries take of a board whose description states its pace, else 0. */
  private static long triesNanos(Patience patience) {
    long tryMs = patience.answerWithinMs().orElse(0) + (long) patience.quietAfterMissMs();
    return 3_000_000L * tryMs;
  }

  /** Two programs on one line would take each other's answers: the one that watches is asked. */
  private int fromLog(LineConfig line) throws InterruptedException, StorageFailure {
    Config loaded = config.loadToAsk();
    SystemTime time = new SystemTime();
    PackPlan plan = packConfig().plan();
    int code = ExitCode.DONE;
    do {
      try (LogFile log = LogFile.open(loaded.storeFile(), OpenMode.READER, loaded.store())) {
        Reading newest =
            NewestReading.of(log, plan.id())
                .orElseThrow(
                    () ->
                        new Stop(
                            ExitCode.LINK,
                            "cellherd run holds "
                                + line.link()
                                + ", and its log has no reading of "
                                + plan.id()
                                + " yet; what it hears is in its own log lines"));
        LoneInLog lone = new LoneInLog(plan);
        log.history()
            .replay(plan.id(), newest.timeMs() - DOUBT_MS, newest.timeMs() + 1, lone::take);
        String doubt = lone.words(loaded.zone());
        showStored(newest, plan, line, Math.max(0, time.wallMs() - newest.timeMs()), doubt);
        code = Math.max(code, LogOptions.answered(log));
      }
      if (watch) {
        time.sleepNanos(1_000_000_000L);
      }
    } while (watch);
    return code;
  }

  private void showStored(
      Reading reading, PackPlan plan, LineConfig line, long ageMs, String doubt) {
    if (output.isJson()) {
      output.json(
          Facts.of()
              .putAll(facts(reading))
              .put("source", "log")
              .put("age_s", ageMs / 1000.0, 1)
              .put("in_doubt", doubt)
              .put("doubtful", facts(CellSum.doubt(reading).stream().toList(), true))
              .build());
      return;
    }
    clear();
    output.line(
        "From the log, %s old: cellherd run holds %s and goes on watching."
            .formatted(Spoken.duration(ageMs), line.link()));
    List<Dialogue.Doubt> doubts = CellSum.doubt(reading).stream().toList();
    output.out().print(new ReadingText(Optional.of(plan)).of(reading, List.of(), doubts));
    if (!doubt.isEmpty()) {
      output.out().println("  " + doubt);
    }
    output.out().flush();
  }

  private static Facts facts(Reading reading) {
    return new Facts(
        ReadingFacts.of(reading, 0).list().stream()
            .filter(f -> !f.name().equals("valid_s"))
            .toList());
  }

  private static List<Facts> facts(List<Dialogue.Extra> extras) {
    return extras.stream()
        .map(e -> Facts.of().put("name", e.name()).put("text", e.text()).build())
        .toList();
  }

  /** What the description and the reading itself make hard to believe. */
  private static List<Dialogue.Doubt> doubts(Reading reading, Dialogue dialogue) {
    List<Dialogue.Doubt> all = new ArrayList<>(dialogue.doubts());
    CellSum.doubt(reading).ifPresent(all::add);
    return all;
  }

  private static List<Facts> facts(List<Dialogue.Doubt> doubts, boolean areKept) {
    return facts(
        doubts.stream()
            .filter(d -> d.isKept() == areKept)
            .map(d -> new Dialogue.Extra(d.name(), d.text()))
            .toList());
  }

  /** Only a terminal is wiped: a file or a program behind a pipe would read the codes as text. */
  private void clear() {
    if (watch && Screen.isTerminal()) {
      output.out().print("\u001b[H\u001b[2J");
    }
  }

  private void show(ReadingText text, Reading reading, Dialogue dialogue) {
    List<Dialogue.Doubt> doubts = doubts(reading, dialogue);
    if (output.isJson()) {
      output.json(
          Facts.of()
              .putAll(facts(reading))
              .put("left_out", facts(doubts, false))
              .put("doubtful", facts(doubts, true))
              .put("board_says", facts(dialogue.extras()))
              .build());
      return;
    }
    clear();
    output.out().print(text.of(reading, dialogue.extras(), doubts));
    output.out().flush();
  }

  private static String trouble(LineConfig line, Dialogue dialogue, String note, Gap.Cause cause) {
    String where = line.link() + ", spec " + line.spec() + ", address " + line.address() + ": ";
    String refusal =
        dialogue
            .lastRefusal()
            .map(r -> "; last refused frame: " + r.reason().word() + ", " + r.detail())
            .orElse("");
    if (!note.isEmpty()) {
      return where + note + refusal;
    }
    if (dialogue.isListenOnly() && cause == Gap.Cause.NO_BYTES) {
      return where + UNASKED;
    }
    return where + SilenceWords.of(cause) + refusal;
  }

  /** A config names descriptions from its own folder, an option from this one. */
  private Path specHome() {
    return link == null ? config.loadToAsk().file() : Path.of("cellherd.toml");
  }

  private Optional<PackPlan> plan() {
    return link == null ? Optional.of(packConfig().plan()) : Optional.empty();
  }

  private LineConfig line() {
    if (link != null) {
      if (spec == null) {
        throw Stop.usage("--link needs --spec");
      }
      return new LineConfig(
          spec,
          link,
          address,
          1000,
          baud == null ? OptionalInt.empty() : OptionalInt.of(baud),
          OptionalInt.empty(),
          Optional.empty(),
          OptionalInt.empty());
    }
    return packConfig().line().orElseThrow(() -> Stop.usage("this pack has no [pack.line]"));
  }

  private PackConfig packConfig() {
    return PackConfig.among(config.loadToAsk().packs(), pack);
  }

  /** Keeps the newest of what was heard. */
  private static final class Ear implements BoardListener {
    private @Nullable Reading reading;
    private @Nullable Gap gap;
    private String note = "";

    @Override
    public void heard(String pack, LogEntry entry) {
      if (entry instanceof Reading r) {
        reading = r;
        note = "";
      } else if (entry instanceof Gap g) {
        gap = g;
      }
    }

    @Override
    public void note(String pack, String text) {
      note = text;
    }

    @Override
    public void otherBoard(String pack, String before, String now) {
      note = "the board was " + before + " and is now " + now;
    }
  }
}
