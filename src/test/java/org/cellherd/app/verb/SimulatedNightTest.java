package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.io.Writer;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import org.cellherd.alert.AlertEvent;
import org.cellherd.alert.news.Sink;
import org.cellherd.alert.rule.Bouncing;
import org.cellherd.analysis.BalanceView;
import org.cellherd.analysis.Finding;
import org.cellherd.app.SystemTime;
import org.cellherd.app.config.LineConfig;
import org.cellherd.app.config.PackConfig;
import org.cellherd.app.daemon.Daemon;
import org.cellherd.app.daemon.FastForward;
import org.cellherd.app.daemon.PackWatch;
import org.cellherd.board.BoardListener;
import org.cellherd.board.BoardOnLine;
import org.cellherd.board.CaptureChunk;
import org.cellherd.board.CaptureReader;
import org.cellherd.board.CaptureReplay;
import org.cellherd.board.CaptureWriter;
import org.cellherd.board.CapturingLink;
import org.cellherd.board.Link;
import org.cellherd.json.JsonReader;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.mqtt.trial.TopicListener;
import org.cellherd.pack.LogEntry;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.sim.Scenario;
import org.cellherd.sim.Scenarios;
import org.cellherd.sim.TestScenarios;
import org.cellherd.store.LogFile;
import org.cellherd.store.StoredEvent;
import org.cellherd.store.sql.OpenMode;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Whole nights: bytes over a line, decoded, stored, judged, told through a broker. */
class SimulatedNightTest {

  /** Where each second is not the point: {@code AlertQualityTest} judges those of a quiet night. */
  private static final int POLL_S = 5;

  @TempDir private Path folder;

  /** Keeps what the daemon told. */
  private static final class Memory implements Sink {
    private final List<AlertEvent> events = new ArrayList<>();
    private final List<Reading> readings = new ArrayList<>();

    @Override
    public void event(AlertEvent event) {
      events.add(event);
    }

    @Override
    public void reading(String pack, Reading reading) {
      readings.add(reading);
    }
  }

  @Test
  void firstNightIsStoredJudgedAndToldAndItsCaptureReplaysAlike() throws Exception {
    List<String> told = Collections.synchronizedList(new ArrayList<>());
    Path capture = folder.resolve("night.capture");
    Memory memory = new Memory();
    StringWriter story = new StringWriter();
    BalanceView greatest = BalanceView.UNKNOWN;
    List<Finding> atTheEnd;
    SimulatedSite site;
    try (InProcessBroker broker = InProcessBroker.start();
        TopicListener ear =
            TopicListener.start(
                broker.url(),
                "cellherd/demo/+/event",
                (t, payload, r) -> told.add(idOf(payload)))) {
      Scenario scenario = Scenarios.open("first-night");
      site = new SimulatedSite(scenario, folder, broker.url());
      Storyteller storyteller =
          new Storyteller(
              site.config().packs(),
              new PrintWriter(story),
              new LocalClock(scenario.zone(), false));
      try (Writer out = Files.newBufferedWriter(capture, StandardCharsets.US_ASCII)) {
        CaptureWriter writer = new CaptureWriter(out, "", site.time()::wallMs);
        Function<Link, Link> recorded = link -> new CapturingLink(link, writer);
        try (Daemon daemon =
            Daemon.open(
                site.config(),
                site.parts(new SystemTime(), List.of(memory, storyteller), recorded))) {
          storyteller.follow(daemon);
          Widest widest = new Widest(daemon);
          new FastForward(daemon, site.time()).runUntil(site.lengthNanos(), widest::look);
          greatest = widest.view;
          atTheEnd = daemon.watch("crate").orElseThrow().analysis().standing();
        }
      }
      ear.awaitQuiet(Duration.ofMillis(500), Duration.ofSeconds(20));
    }

    assertThat(memory.readings).hasSizeGreaterThan(43_000);
    BalanceView.Lead lead =
        greatest.leads().stream().max(Comparator.comparingDouble(l -> l.ah().mid())).orElseThrow();
    assertThat(lead.cell()).isEqualTo(3);
    assertThat(lead.ah().mid()).isCloseTo(0.7, within(0.12));
    assertThat(told).isEqualTo(memory.events.stream().map(AlertEvent::id).toList());
    checkLog(site, memory, atTheEnd);
    checkReplay(site, memory, capture);
    checkReadme(story.toString(), memory);
  }

  /** What the README quotes of the demo is what the night says, line by line. */
  private static void checkReadme(String story, Memory memory) throws IOException {
    String readme = Files.readString(Path.of("README.md"));
    int from = readme.indexOf("```\n", readme.indexOf("The demo plays that night")) + 4;
    String quoted = readme.substring(from, readme.indexOf("\n```", from)).replaceAll("\n +", " ");
    List<String> said = new ArrayList<>(story.lines().toList());
    memory.events.forEach(e -> said.add(e.change().word() + ": " + e.alert().text()));
    assertThat(quoted.lines())
        .hasSizeGreaterThan(1)
        .map(line -> line.replaceFirst(".*MQTT .* (?=\\S+: )", ""))
        .allSatisfy(line -> assertThat(said).contains(line));
  }

  private static String idOf(String payload) {
    try {
      return new JsonReader(JsonReader.Limits.MESSAGE).read(payload).text("event").orElseThrow();
    } catch (org.cellherd.json.JsonReader.Problem notJson) {
      throw new IllegalStateException(payload, notJson);
    }
  }

  /** The log has every reading and event, and folding it again comes to the same findings. */
  private static void checkLog(SimulatedSite site, Memory memory, List<Finding> findings)
      throws Exception {
    try (LogFile file = LogFile.open(site.config().storeFile(), OpenMode.READER)) {
      PackWatch again = new PackWatch(site.config().packs().get(0));
      List<Reading> stored = new ArrayList<>();
      List<AlertEvent> events = new ArrayList<>();
      file.history()
          .replay(
              "crate",
              Long.MIN_VALUE,
              Long.MAX_VALUE,
              entry -> {
                events.addAll(again.accept(entry));
                if (entry instanceof Reading reading) {
                  stored.add(reading);
                }
              });
      assertThat(stored).isEqualTo(memory.readings);
      assertThat(again.analysis().standing()).isEqualTo(findings);
      assertThat(events.stream().map(AlertEvent::id))
          .isEqualTo(memory.events.stream().map(AlertEvent::id).toList());
      assertThat(file.events("crate", Long.MIN_VALUE, Long.MAX_VALUE))
          .extracting(s -> s.event().id())
          .isEqualTo(memory.events.stream().map(AlertEvent::id).toList());
      assertThat(file.events("crate", Long.MIN_VALUE, Long.MAX_VALUE))
          .allMatch(StoredEvent::delivered);
    }
  }

  /** The recorded bytes give the same readings and the same alerts once more. */
  private static void checkReplay(SimulatedSite site, Memory memory, Path capture)
      throws Exception {
    PackConfig pack = site.config().packs().get(0);
    LineConfig line = pack.line().orElseThrow();
    Decoder decoder = Specs.find(line.spec()).orElseThrow();
    PackWatch watch = new PackWatch(pack);
    List<Reading> readings = new ArrayList<>();
    List<String> texts = new ArrayList<>();
    BoardListener listener =
        new BoardListener() {
          @Override
          public void heard(String id, LogEntry entry) {
            if (entry instanceof Reading reading) {
              readings.add(reading);
            }
            watch.accept(entry).forEach(e -> texts.add(e.change() + " " + e.alert().text()));
          }

          @Override
          public void note(String id, String text) {}

          @Override
          public void otherBoard(String id, String before, String now) {}
        };
    CaptureReplay replay =
        new CaptureReplay(
            List.of(
                new BoardOnLine(
                    "crate",
                    decoder.dialogue(line.address()),
                    decoder.line(),
                    Duration.ofMillis(line.pollMs()))),
            listener);
    try (CaptureReader reader = CaptureReader.open(capture)) {
      for (Optional<CaptureChunk> c = reader.next(); c.isPresent(); c = reader.next()) {
        replay.take(c.get());
      }
      replay.end();
    }

    assertThat(readings).isEqualTo(memory.readings);
    assertThat(texts)
        .isEqualTo(memory.events.stream().map(e -> e.change() + " " + e.alert().text()).toList());
  }

  @Test
  void leaderThatBouncesTheBoardAllNightIsOneStandingWarning() throws Exception {
    Memory memory = run("bouncing-night");

    List<AlertEvent> bounces =
        memory.events.stream().filter(e -> e.alert().key().rule().equals(Bouncing.ID)).toList();
    assertThat(bounces.stream().filter(e -> e.change() == AlertEvent.Change.RAISED)).hasSize(1);
    assertThat(memory.events).hasSizeLessThan(40);
  }

  @Test
  void healthyNightTellsNobodyAnything() throws Exception {
    assertThat(run("healthy-night").events).isEmpty();
  }

  private Memory run(String scenario) throws IOException, InterruptedException {
    Memory memory = new Memory();
    SimulatedSite site =
        new SimulatedSite(TestScenarios.polledEvery(POLL_S, scenario), folder, null);
    try (Daemon daemon =
        Daemon.open(
            site.config(), site.parts(new SystemTime(), List.of(memory), Function.identity()))) {
      new FastForward(daemon, site.time()).runUntil(site.lengthNanos(), () -> {});
    }
    return memory;
  }

  /** Remembers the moment, to the minute, at which the leads were greatest. */
  private static final class Widest {
    private static final int STEPS = 60;
    private final Daemon daemon;
    private int steps;
    private BalanceView view = BalanceView.UNKNOWN;
    private double greatest;

    Widest(Daemon daemon) {
      this.daemon = daemon;
    }

    void look() {
      if (++steps % STEPS != 0) {
        return;
      }
      BalanceView now = daemon.watch("crate").orElseThrow().analysis().balance();
      double widest = now.leads().stream().mapToDouble(l -> l.ah().mid()).max().orElse(0);
      if (widest > greatest) {
        greatest = widest;
        view = now;
      }
    }
  }
}
