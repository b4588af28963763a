package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeMap;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.IntStream;
import org.cellherd.ComputerTime;
import org.cellherd.FreePort;
import org.cellherd.Tools;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Gap;
import org.cellherd.pack.Reading;
import org.cellherd.pack.SimulatedTime;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Responder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.sim.TcpBoardServer;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** Modbus TCP against peers that are not ours, and against devices that answer late or astray. */
class ModbusTcpTest {
  private static final Decoder TEASEL = Specs.find("teasel-16").orElseThrow();

  @TempDir private Path folder;

  private static int[] cells(int offset) {
    return IntStream.range(3300 + offset, 3316 + offset).toArray();
  }

  /** Peer: pymodbus (Debian's python3-pymodbus) as the device. */
  @Test
  void anIndependentDeviceIsReadByItsUnit() throws Exception {
    Path map = folder.resolve("map.csv");
    StringBuilder rows = new StringBuilder("address,hex,name\n");
    sunSpecRegisters().forEach((at, value) -> rows.append("%d,%s,x%n".formatted(at, value)));
    Files.writeString(map, rows);
    int port = FreePort.find();
    try (PythonServer server =
        new PythonServer(
            "modbus_tcp_server.py", Path.of(String.valueOf(port)), "7", map.toString())) {
      HeardListener heard = new HeardListener();
      ComputerTime time = new ComputerTime();
      Decoder sunSpec = Specs.find("sunspec").orElseThrow();
      LinePoller poller =
          poller(new ModbusTcpLink("127.0.0.1", port, time), sunSpec, 7, LineClock.of(time), heard);
      Thread thread = new Thread(poller, "poller");
      thread.start();

      boolean isHeard = false;
      for (int i = 0; i < 12 && !isHeard; i++) {
        isHeard = heard.await(() -> !heard.readings().isEmpty());
      }
      poller.stop();
      thread.join();

      assertThat(server.isServing()).isTrue();
      assertThat(isHeard).as("%s", heard.notes()).isTrue();
      assertThat(heard.readings().get(0).cells()).isEqualTo(CellVoltages.ofMv(cells(0)));
    }
  }

  /** What our own device tells, register by register, in hex. */
  private static Map<Integer, String> sunSpecRegisters() {
    Responder board = Specs.find("sunspec").orElseThrow().responder(7).orElseThrow();
    Reading truth = Reading.at(0).cells(CellVoltages.ofMv(cells(0))).build();
    Map<Integer, String> registers = new TreeMap<>();
    for (int at = 40_000; at < 40_400; at++) {
      byte[] message = {0, 0, 0, 0, 0, 6, 7, 3, (byte) (at >> 8), (byte) at, 0, 1};
      byte[] answer = board.feed(MbapFrames.crcInPlaceOfHeader(message), () -> truth);
      if (answer[1] == 3) {
        registers.put(at, "%02x%02x".formatted(answer[3], answer[4]));
      }
    }
    return registers;
  }

  /** Peer: mbpoll, on libmodbus, as the one that asks. */
  @Test
  void anIndependentMasterReadsOurDeviceByModbusTcp() throws Exception {
    Path mbpoll = Tools.require("mbpoll");
    ComputerTime time = new ComputerTime();
    Responder board = Specs.find("sunspec").orElseThrow().responder(7).orElseThrow();
    Reading truth = Reading.at(0).cells(CellVoltages.ofMv(cells(0))).build();
    AtomicBoolean goesOn = new AtomicBoolean(true);
    try (TcpBoardServer server =
        new TcpBoardServer(bytes -> board.feed(bytes, () -> truth), time, 0, true)) {
      Thread thread = new Thread(() -> serve(server, goesOn), "device");
      thread.start();
      List<String> command =
          List.of(
              mbpoll.toString(),
              "-m",
              "tcp",
              "-p",
              String.valueOf(server.port()),
              "-a",
              "7",
              "-t",
              "4:hex",
              "-0",
              "-r",
              "40000",
              "-c",
              "4",
              "-1",
              "-q",
              "127.0.0.1");
      Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
      String said = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
      goesOn.set(false);
      thread.join();

      assertThat(said).contains("0x5375", "0x6E53", "0x0001", "0x0042");
    }
  }

  private static void serve(TcpBoardServer server, AtomicBoolean goesOn) {
    try {
      server.serve(goesOn::get);
    } catch (InterruptedException e) {
      Thread.currentThread().interrupt();
    }
  }

  /** A device that answers late, twice, in pieces, or with the number of another question. */
  private static final class AstrayDevice implements FarSide {
    private final SimulatedTime time;
    private final Random random;
    private final Responder board = TEASEL.responder(1).orElseThrow();
    private final List<byte[]> held = new ArrayList<>();

    AstrayDevice(SimulatedTime time, Random random) {
      this.time = time;
      this.random = random;
    }

    @Override
    public byte[] exchange(byte[] message) {
      int second = (int) (time.monotonicNanos() / 1_000_000_000L % 600);
      Reading now = Reading.at(0).cells(CellVoltages.ofMv(cells(second))).build();
      byte[] frame = MbapFrames.crcInPlaceOfHeader(message);
      byte[] answer = MbapFrames.headerInPlaceOfCrc(message, board.feed(frame, () -> now));
      byte[] out = new byte[0];
      while (!held.isEmpty() && random.nextBoolean()) {
        out = TinyWire.concat(out, held.remove(0));
      }
      if (random.nextInt(4) == 0) {
        held.add(answer);
        return out;
      }
      return TinyWire.concat(out, answer);
    }

    @Override
    public long delayNanos() {
      return random.nextInt(40) * 1_000_000L;
    }
  }

  @ParameterizedTest
  @ValueSource(longs = {1, 2, 3, 4, 5, 6, 7, 8})
  void anAnswerIsTakenForItsOwnQuestionOnly(long seed) throws Exception {
    SimulatedTime time = new SimulatedTime(0);
    FarSide device = new AstrayDevice(time, new Random(seed * 0x9E3779B97F4A7C15L));
    HeardListener heard = new HeardListener();
    LinePoller poller = teasel("modbus-tcp:device:502", device, time, heard);

    while (time.monotonicNanos() < 590_000_000_000L) {
      poller.step();
    }

    assertThat(heard.readings()).as("seed %d", seed).hasSizeGreaterThan(40);
    for (Reading reading : heard.readings()) {
      double second = reading.timeMs() / 1000.0;
      assertThat(reading.cells().mv(1) - 3300).as("seed %d", seed).isBetween(second - 2, second);
    }
  }

  @Test
  void whatSpeaksTheOtherKindOfModbusIsTold() throws Exception {
    SimulatedTime time = new SimulatedTime(0);
    Responder board = TEASEL.responder(1).orElseThrow();
    Reading truth = Reading.at(0).cells(CellVoltages.ofMv(cells(0))).build();
    FarSide bridge = message -> board.feed(MbapFrames.crcInPlaceOfHeader(message), () -> truth);
    HeardListener heard = new HeardListener();
    LinePoller poller = teasel("modbus-tcp:bridge:502", bridge, time, heard);
    while (time.monotonicNanos() < 30_000_000_000L) {
      poller.step();
    }

    assertThat(heard.readings()).isEmpty();
    assertThat(heard.gaps()).isNotEmpty().allMatch(g -> g.cause() == Gap.Cause.WRONG_ANSWER);
    assertThat(heard.notes())
        .contains(
            "modbus-tcp:bridge:502: answers with Modbus RTU frames, so it is a bridge to a serial"
                + " line: tcp:bridge:502");
  }

  @Test
  void aLinkThatCarriesModbusOnlyRefusesOtherBoards() {
    LinkAddress address = LinkAddress.parse("modbus-tcp:10.0.0.5:502").address().orElseThrow();

    assertThat(address.text()).isEqualTo("modbus-tcp:10.0.0.5:502");
    assertThat(address.problemWith(TEASEL)).isEmpty();
    assertThat(address.problemWith(Specs.find("sunspec").orElseThrow())).isEmpty();
    assertThat(address.problemWith(Specs.find("sorrel-16").orElseThrow()))
        .hasValueSatisfying(p -> assertThat(p).contains("carries Modbus only", "sorrel-16"));
    assertThat(LinkAddress.parse("modbus-tcp:10.0.0.5").problem())
        .contains("modbus-tcp:192.168.1.20:502");
  }

  private static LinePoller teasel(
      String name, FarSide device, SimulatedTime time, BoardListener listener) {
    Link link = new ModbusTcpLink(new LoopbackLink(name, device, time), time);
    return poller(link, TEASEL, 1, LineClock.of(time), listener);
  }

  private static LinePoller poller(
      Link link, Decoder decoder, int unit, LineClock clock, BoardListener listener) {
    BoardOnLine board =
        new BoardOnLine("house", decoder.dialogue(unit), decoder.line(), Duration.ofSeconds(2));
    return new LinePoller(link, List.of(board), clock, listener);
  }
}
