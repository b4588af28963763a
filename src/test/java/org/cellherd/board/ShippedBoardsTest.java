package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.function.Supplier;
import java.util.stream.IntStream;
import org.cellherd.ComputerTime;
import org.cellherd.Tools;
import org.cellherd.json.JsonReader;
import org.cellherd.json.JsonValue;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.pack.Temperatures;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.spec.Specs;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** The shipped descriptions over links, and independent Modbus programs against both sides. */
class ShippedBoardsTest {
  @TempDir private Path folder;

  private static final Reading TRUTH =
      Reading.at(0)
          .cells(
              CellVoltages.ofMv(
                  3301, 3302, 3303, 3304, 3305, 3306, 3307, 3308, 3309, 3310, 3311, 3312, 3313,
                  3314, 3315, 3450))
          .temperatures(Temperatures.ofTenthC(215, 224, 231, 198))
          .packMv(53060)
          .currentMa(12340)
          .socTenthPct(567)
          .build();

  /** A board that answers as its description says. */
  private record Described(Responder responder, Supplier<Reading> now) implements FarSide {
    static Described of(Decoder decoder, int address) {
      return new Described(decoder.responder(address).orElseThrow(), () -> TRUTH);
    }

    @Override
    public byte[] exchange(byte[] sent) {
      return responder.feed(sent, now);
    }
  }

  @ParameterizedTest
  @ValueSource(strings = {"sorrel-16", "teasel-16"})
  void aShippedBoardIsReadOverALineWithoutARefusal(String id) throws InterruptedException {
    SimulatedTime time = new SimulatedTime(0);
    Decoder decoder = Specs.find(id).orElseThrow();
    HeardListener heard = new HeardListener();
    LinePoller poller =
        Loopback.poller(
            Described.of(decoder, 1),
            time,
            new BoardOnLine("house", decoder.dialogue(1), decoder.line(), Duration.ofSeconds(1)),
            heard);
    while (time.monotonicNanos() < 60_000_000_000L) {
      poller.step();
    }

    assertThat(heard.readings()).hasSizeBetween(59, 61);
    assertThat(heard.readings().get(30).cells()).isEqualTo(TRUTH.cells());
    assertThat(heard.readings().get(30).currentMa()).hasValue(12340);
    assertThat(poller.counts("house").retries()).isZero();
  }

  /** Peer: mbpoll (Debian), a Modbus RTU master of its own make. */
  @Test
  void anIndependentMasterReadsTheInventedModbusBoard() throws Exception {
    Path mbpoll = Tools.require("mbpoll");
    Decoder teasel = Specs.find("teasel-16").orElseThrow();
    try (PtyPair pair = new PtyPair(folder.resolve("near"), folder.resolve("far"));
        Served board =
            new Served(
                new SerialLink(pair.far.toString(), new ComputerTime()), Described.of(teasel, 1))) {
      assertThat(board.isServing()).isTrue();

      String cells = run(mbpoll, "-r", "111", "-c", "16", pair.near.toString());

      assertThat(cells).contains("[111]: \t33010", "[126]: \t34500");
    }
  }

  private static String run(Path mbpoll, String... arguments) throws Exception {
    List<String> command =
        new ArrayList<>(
            List.of(mbpoll.toString(), "-m", "rtu", "-a", "1", "-b", "9600", "-P", "none"));
    command.addAll(List.of("-t", "4", "-1", "-q", "-o", "2"));
    command.addAll(List.of(arguments));
    Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
    String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
    process.waitFor();
    return said;
  }

  /** Peer: pymodbus (Debian's python3-pymodbus) as the board; the registers are set by hand. */
  @Test
  void ourDecoderReadsAnIndependentModbusServer() throws Exception {
    // 53.06 V; 12.34 A charging, so -12340 mA by this board, low word first; 56.7 %; no bits set.
    String start = "5306,53196,65535,567,3,0,0,0,0,0";
    String cells = "33010,33020,33030,33040,33050,33060,33070,33080,33090,33100,33110,33120";
    // 25.0 degC are 75 K above -50 degC, in steps of 0.05 K, by this board.
    String rest = "33130,33140,33150,65535,1500,1500,65535,1500";
    try (PtyPair pair = new PtyPair(folder.resolve("near"), folder.resolve("far"));
        PythonServer server =
            new PythonServer(
                "modbus_server.py",
                pair.far,
                String.join(",", start, cells, rest),
                "17481,16723,17740,11568,12336,12337,0,0,42")) {
      Reading reading = firstReading("teasel-16", 5, pair.near);

      assertThat(server.isServing()).isTrue();
      assertThat(reading.cells().mv(1)).isEqualTo(3301);
      assertThat(reading.cells().mv(15)).isEqualTo(3315);
      assertThat(reading.cells().has(16)).isFalse();
      assertThat(reading.currentMa()).hasValue(12340);
      assertThat(reading.packMv()).hasValue(53060);
      assertThat(reading.temperatures().tenthC(1)).isEqualTo(250);
    }
  }

  /** Peer: pymodbus serves the SunSpec fixture; the expected values came from another decoder. */
  @Test
  void ourSunSpecDecoderReadsAnIndependentServerWhole() throws Exception {
    Path vectors = Tools.openData().resolve("standards/vectors");
    JsonValue expected =
        new JsonReader(JsonReader.Limits.MESSAGE)
            .read(Files.readString(vectors.resolve("sunspec_expected.json")));
    Path registers = vectors.resolve("sunspec_registers.csv");
    try (PtyPair pair = new PtyPair(folder.resolve("near"), folder.resolve("far"));
        PythonServer server =
            new PythonServer("sunspec_server.py", pair.far, "1", registers.toString())) {
      Reading reading = firstReading("sunspec", 1, pair.near);

      assertThat(server.isServing()).isTrue();
      assertThat(IntStream.rangeClosed(1, 16).mapToObj(reading.cells()::tenthMv))
          .containsExactlyElementsOf(allScaled(expected, "cell_voltages", 10_000));
      assertThat(IntStream.rangeClosed(1, 16).mapToObj(reading.temperatures()::tenthC))
          .containsExactlyElementsOf(allScaled(expected, "cell_temperatures", 10));
      assertThat(reading.packMv()).hasValue(scaled(expected, "pack_voltage_from_802", 1000));
      assertThat(reading.currentMa()).hasValue(scaled(expected, "current_raw_from_802", 1000));
      assertThat(reading.socTenthPct()).hasValue(scaled(expected, "soc_percent", 10));
      assertThat(reading.bleedMask()).hasValue(1L << 14);
      assertThat(reading.boardAlarms()).hasValue(1L << 17);
    }
  }

  private static int scaled(JsonValue expected, String name, int scale) {
    return (int) Math.round(expected.number(name).orElseThrow() * scale);
  }

  private static List<Integer> allScaled(JsonValue expected, String name, int scale) {
    return expected.items(name).stream()
        .map(item -> (int) Math.round(item.number("").orElseThrow() * scale))
        .toList();
  }

  private static Reading firstReading(String id, int address, Path port)
      throws InterruptedException {
    Decoder decoder = Specs.find(id).orElseThrow();
    ComputerTime time = new ComputerTime();
    HeardListener heard = new HeardListener();
    LinePoller poller =
        new LinePoller(
            new SerialLink(port.toString(), time),
            List.of(
                new BoardOnLine(
                    "house",
                    decoder.dialogue(address),
                    LineSettings.DEFAULT,
                    Duration.ofMillis(200))),
            LineClock.of(time),
            heard);
    Thread thread = new Thread(poller, "poller");
    thread.start();
    assertThat(heard.await(() -> !heard.readings().isEmpty()))
        .as("%s %s %s", heard.gaps(), heard.notes(), poller.counts("house"))
        .isTrue();
    poller.stop();
    thread.join(5000);
    return heard.readings().get(0);
  }

  @Test
  void settingsOfAPseudoTerminalDoNotMatterToTheReading() throws Exception {
    Decoder sorrel = Specs.find("sorrel-16").orElseThrow();
    ComputerTime time = new ComputerTime();
    HeardListener heard = new HeardListener();
    try (PtyPair pair = new PtyPair(folder.resolve("near"), folder.resolve("far"));
        Served board =
            new Served(new SerialLink(pair.far.toString(), time), Described.of(sorrel, 7))) {
      assertThat(board.isServing()).isTrue();
      LinePoller poller =
          new LinePoller(
              new SerialLink(pair.near.toString(), time),
              List.of(
                  new BoardOnLine(
                      "house", sorrel.dialogue(7), LineSettings.DEFAULT, Duration.ofMillis(20))),
              LineClock.of(time),
              heard);
      Thread thread = new Thread(poller, "poller");
      thread.start();
      assertThat(heard.await(() -> heard.readings().size() >= 10)).isTrue();
      poller.stop();
      thread.join(5000);
      assertThat(heard.readings().get(9).cells()).isEqualTo(TRUTH.cells());
      assertThat(poller.counts("house").refusals()).isEmpty();
    }
  }
}
