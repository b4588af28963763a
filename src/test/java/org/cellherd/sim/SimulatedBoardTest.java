package org.cellherd.sim;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.ByteArrayOutputStream;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.Map;
import java.util.Optional;
import org.cellherd.board.LinkException;
import org.cellherd.board.LoopbackLink;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.Request;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;

class SimulatedBoardTest {

  private static final long MINUTE = 60_000;

  /** A scenario on a loopback line, polled by hand. */
  private static final class Bench {
    final SimulatedTime time;
    final SimulatedBoard board;
    final LoopbackLink link;
    private final Map<String, Decoder> decoders = new HashMap<>();

    Bench(Scenario scenario) throws LinkException {
      this.time = new SimulatedTime(scenario.startMs());
      this.board = SimulatedBoard.of(scenario, time::wallMs);
      this.link = new LoopbackLink("loopback", board, time);
      link.open(decoder(0).line());
    }

    Decoder decoder(int pack) {
      return decoders.computeIfAbsent(
          board.rig().packs().get(pack).decoder(), id -> Specs.find(id).orElseThrow());
    }

    Dialogue dialogue(int pack) {
      return decoder(pack).dialogue(board.rig().packs().get(pack).address());
    }

    Optional<Reading> poll(int pack) throws LinkException {
      return Polls.poll(link, dialogue(pack), time.wallMs());
    }

    void waitMinutes(double minutes) {
      time.advanceMs(Math.round(minutes * MINUTE));
    }
  }

  @Test
  void whatTheBoardMeasuresComesOverTheLine() throws LinkException {
    Bench bench = new Bench(Scenarios.open("first-night"));
    bench.waitMinutes(100);

    Reading heard = bench.poll(0).orElseThrow();

    Reading printed = bench.board.rig().measured();
    assertThat(heard.cells().count()).isEqualTo(4);
    for (int cell = 1; cell <= 4; cell++) {
      assertThat(heard.cells().mv(cell)).isCloseTo(printed.cells().mv(cell), within(3.0));
    }
    assertThat(heard.currentMa().orElseThrow()).isCloseTo(1600, within(60));
    assertThat(heard.packMv().orElseThrow()).isCloseTo(printed.packMv().orElseThrow(), within(10));
    assertThat(heard.temperatures().count()).isEqualTo(3);
    assertThat(heard.bleedMask()).isPresent();
    assertThat(heard.chargeSwitch()).hasValue(1);
  }

  @Test
  void registersOfSixteenCellsComeOverTheLine() throws LinkException {
    Bench bench = new Bench(Scenarios.open("first-night-16s"));
    bench.waitMinutes(30);

    Reading heard = bench.poll(0).orElseThrow();

    assertThat(heard.cells().count()).isEqualTo(16);
    assertThat(heard.cells().isComplete()).isTrue();
    assertThat(heard.currentMa().orElseThrow()).isCloseTo(6000, within(80));
  }

  @Test
  void twoPacksAnswerAtTheirAddresses() throws LinkException {
    Bench bench = new Bench(Scenarios.open("two-packs"));

    Reading elder = bench.poll(0).orElseThrow();
    Reading younger = bench.poll(1).orElseThrow();

    assertThat(elder.cells().tenthMv(5) - younger.cells().tenthMv(5)).isGreaterThan(100);
  }

  @Test
  void sameSeedGivesTheSameBytes() throws LinkException {
    assertThat(bytesOfTenMinutes(7)).isEqualTo(bytesOfTenMinutes(7));
    assertThat(bytesOfTenMinutes(7)).isNotEqualTo(bytesOfTenMinutes(8));
  }

  private static String bytesOfTenMinutes(long seed) {
    Scenario scenario = Scenarios.open("cable-faults").withSeed(seed);
    long[] now = {scenario.startMs() + 225 * MINUTE};
    SimulatedBoard board = SimulatedBoard.of(scenario, () -> now[0]);
    Dialogue dialogue = Specs.find("sorrel-16").orElseThrow().dialogue(1);
    dialogue.begin();
    Request request = dialogue.nextRequest().orElseThrow();
    ByteArrayOutputStream all = new ByteArrayOutputStream();
    for (int i = 0; i < 200; i++) {
      all.writeBytes(board.exchange(request.bytes()));
      now[0] += 1000;
    }
    return HexFormat.of().formatHex(all.toByteArray());
  }

  /** Of 100 polls, how many were answered well, some minutes into the night of cable faults. */
  private static int answered(Bench bench, double minutes) throws LinkException {
    bench.waitMinutes(minutes);
    int good = 0;
    for (int i = 0; i < 100; i++) {
      good += bench.poll(0).isPresent() ? 1 : 0;
      bench.time.advanceMs(500);
    }
    return good;
  }

  @Test
  void everyFaultOfTheLineCostsAnswersAtItsTime() throws LinkException {
    assertThat(answered(cable(), 0)).as("no fault yet").isEqualTo(100);
    assertThat(answered(cable(), 61)).as("dropped").isBetween(55, 98);
    assertThat(answered(cable(), 181)).as("truncated").isBetween(55, 98);
    assertThat(answered(cable(), 241)).as("corrupted").isBetween(55, 98);
    assertThat(answered(cable(), 541)).as("silent").isZero();
  }

  private static Bench cable() throws LinkException {
    return new Bench(Scenarios.open("cable-faults"));
  }

  @Test
  void pulledCableFailsTheLink() throws LinkException {
    Bench bench = cable();
    bench.waitMinutes(451);

    assertThatThrownBy(() -> bench.poll(0)).isInstanceOf(LinkException.class);

    bench.waitMinutes(15);
    bench.link.open(bench.decoder(0).line());
    assertThat(bench.poll(0)).isPresent();
  }

  @Test
  void echoSendsTheRequestBackFirst() throws LinkException {
    Bench bench = cable();
    bench.waitMinutes(301);
    Dialogue dialogue = bench.dialogue(0);
    dialogue.begin();
    byte[] request = dialogue.nextRequest().orElseThrow().bytes();

    byte[] answer = bench.board.exchange(request);

    assertThat(answer).startsWith(request).hasSizeGreaterThan(2 * request.length);
  }

  @Test
  void noiseComesBeforeSomeAnswersAndLateAnswersComeLater() {
    Scenario scenario = Scenarios.open("cable-faults");
    long[] now = {scenario.startMs()};
    SimulatedBoard board = SimulatedBoard.of(scenario, () -> now[0]);
    Dialogue dialogue = Specs.find("sorrel-16").orElseThrow().dialogue(1);
    dialogue.begin();
    byte[] request = dialogue.nextRequest().orElseThrow().bytes();
    int usual = board.exchange(request).length;
    long usualNanos = board.delayNanos();

    int late = 0;
    int longer = 0;
    now[0] = scenario.startMs() + 121 * MINUTE;
    for (int i = 0; i < 200; i++) {
      board.exchange(request);
      late += board.delayNanos() > usualNanos ? 1 : 0;
      now[0] += 1000;
    }
    now[0] = scenario.startMs() + 361 * MINUTE;
    for (int i = 0; i < 200; i++) {
      longer += board.exchange(request).length > usual ? 1 : 0;
      now[0] += 1000;
    }

    assertThat(late).isBetween(20, 70);
    assertThat(longer).isBetween(35, 90);
  }

  @Test
  void sleepingBoardAnswersNobodyUntilCurrentFlows() throws LinkException {
    Bench bench = new Bench(Scenarios.open("sleeping-board"));

    assertThat(bench.poll(0)).as("awake at first").isPresent();
    bench.waitMinutes(14 * 60);
    bench.board.rig().stepTo(bench.time.wallMs());
    assertThat(bench.board.rig().isAwake(0)).isFalse();
    assertThat(bench.poll(0)).isEmpty();
    bench.waitMinutes(8 * 60);
    assertThat(bench.poll(0)).as("the radio is on").isPresent();
  }

  @Test
  void unknownDescriptionIsNamed() {
    Scenario scenario = Scenarios.open("first-night");

    assertThatThrownBy(
            () ->
                new SimulatedBoard(
                    scenario, scenario.rig(), id -> Optional.empty(), scenario::startMs))
        .hasMessageContaining("sorrel-16")
        .hasMessageContaining("crate");
  }

  @Test
  void aBoardThatIsNeverAskedTalksOnceASecondByItself() {
    Scenario scenario =
        TestScenarios.read(TestScenarios.PACK.formatted(60).replace("sorrel-16", "fennel-4"));
    SimulatedTime time = new SimulatedTime(scenario.startMs());
    SimulatedBoard board = SimulatedBoard.of(scenario, time::wallMs);
    int lines = 0;

    for (int tenths = 0; tenths < 100; tenths++) {
      lines += board.announced().length > 0 ? 1 : 0;
      time.advanceMs(100);
    }

    assertThat(lines).isEqualTo(10);
  }
}
