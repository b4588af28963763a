package org.cellherd.app.daemon;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.regex.Pattern;
import org.cellherd.JavaCommand;
import org.cellherd.app.SystemTime;
import org.cellherd.mqtt.trial.InProcessBroker;
import org.cellherd.mqtt.trial.TopicListener;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.Temperatures;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.sim.TcpBoardServer;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.api.parallel.Execution;
import org.junit.jupiter.api.parallel.ExecutionMode;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;

/** The first alert after a start finds all classes there: loading them took most of its time. */
@Execution(ExecutionMode.CONCURRENT)
class FirstAlertTest {

  /** Not the results of analyses, which are told by a clock of their own. */
  private static final Pattern ON_THE_WAY =
      Pattern.compile("org\\.cellherd\\.(alert|json|mqtt)\\..*");

  @TempDir private Path folder;
  private final SystemTime time = new SystemTime();
  private final AtomicBoolean isInTrouble = new AtomicBoolean();
  private final AtomicInteger readings = new AtomicInteger();
  private final AtomicBoolean isRaised = new AtomicBoolean();
  private final AtomicBoolean hasSummary = new AtomicBoolean();

  @ParameterizedTest
  @CsvSource({"3900, 201, cell-high", "2100, 201, cell-low", "3300, 700, hot"})
  void needsNoClassThatIsNotLoaded(int cellMv, int tenthC, String rule) throws Exception {
    Responder responder = Specs.find("sorrel-16").orElseThrow().responder(1).orElseThrow();
    try (InProcessBroker broker = InProcessBroker.start();
        TcpBoardServer server =
            new TcpBoardServer(
                sent -> responder.feed(sent, () -> reading(cellMv, tenthC)), time, 0, false);
        TopicListener ear =
            TopicListener.start(
                broker.url(), "cellherd/#", (topic, text, retained) -> heard(topic, text, rule))) {
      Thread board = serving(server);
      Files.writeString(folder.resolve("cellherd.toml"), config(broker, server));
      try (Program program = Program.start(folder, loggingClasses())) {
        program.await(() -> readings.get() >= 5 && hasSummary.get(), "readings and a summary");
        int before = classes().size();
        isInTrouble.set(true);
        program.await(isRaised::get, "the alert");
        ear.awaitQuiet(Duration.ofMillis(50), Duration.ofSeconds(1));
        List<String> classes = classes();
        assertThat(classes.subList(before, classes.size()))
            .filteredOn(line -> ON_THE_WAY.matcher(line).matches())
            .isEmpty();
      } finally {
        board.interrupt();
      }
    }
  }

  private void heard(String topic, String text, String rule) {
    if (topic.endsWith("/reading")) {
      readings.incrementAndGet();
    } else if (topic.endsWith("/summary")) {
      hasSummary.set(true);
    } else if (topic.endsWith("/event") && text.contains("\"" + rule + "\"")) {
      isRaised.set(true);
    }
  }

  private static Thread serving(TcpBoardServer server) {
    Thread thread =
        new Thread(
            () -> {
              try {
                server.serve(() -> true);
              } catch (InterruptedException stopped) {
                Thread.currentThread().interrupt();
              }
            },
            "board");
    thread.setDaemon(true);
    thread.start();
    return thread;
  }

  private Reading reading(int cellMv, int tenthC) {
    boolean over = isInTrouble.get();
    int[] mv = {3300, 3301, 3302, 3300};
    int moved = (int) (time.monotonicNanos() / 1_000_000_000 % 7);
    mv[0] = over ? cellMv + moved % 2 : mv[0];
    return Reading.at(0)
        .cells(CellVoltages.ofMv(mv))
        .packMv(mv[0] + mv[1] + mv[2] + mv[3])
        .currentMa((cellMv < 3300 ? -1 : 1) * (1_500 + 10 * moved))
        .temperatures(Temperatures.ofTenthC(over ? tenthC : 201, 203 + moved % 2))
        .socTenthPct(500)
        .build();
  }

  private String config(InProcessBroker broker, TcpBoardServer server) {
    return """
        site = "bench"
        [store]
        file = "log.db"
        [mqtt]
        url = "%s"
        publish_every_s = 1
        [[pack]]
        id = "crate"
        chemistry = "lfp"
        series = 4
        parallel = 1
        rated_ah = 27
        [pack.line]
        spec = "sorrel-16"
        link = "tcp:127.0.0.1:%d"
        poll_s = 1
        """
        .formatted(broker.url(), server.port());
  }

  private List<String> loggingClasses() {
    List<String> options = new ArrayList<>(JavaCommand.SHORT);
    options.addAll(List.of("-XX:-UsePerfData", "-Xlog:class+load=info:file=classes.log:none"));
    return JavaCommand.of(options, "org.cellherd.app.verb.Main", "run");
  }

  private List<String> classes() throws IOException {
    List<String> names = new ArrayList<>();
    for (String line : Files.readAllLines(folder.resolve("classes.log"))) {
      names.add(line.split(" ", 2)[0]);
    }
    return names;
  }
}
