package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.BufferedReader;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HashMap;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.cellherd.ComputerTime;
import org.cellherd.Tools;
import org.cellherd.protocol.LineSettings;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Against a trace of RFC 2217 bytes (rfc2217.csv) and an independent server. */
class Rfc2217LinkTest {
  private final ComputerTime time = new ComputerTime();

  @TempDir private Path folder;

  /** One row: who sends which bytes. */
  private record Row(String sender, String hex) {}

  private static Path resource(String name) {
    return Path.of("src/test/resources/org/cellherd/board", name);
  }

  private static List<Row> trace() throws IOException {
    List<Row> rows = new ArrayList<>();
    for (String line : Files.readAllLines(resource("rfc2217.csv"))) {
      String[] columns = line.split(",", 3);
      if (!columns[0].equals("sent_by")) {
        rows.add(new Row(columns[0], columns[1].replace(" ", "").toLowerCase(Locale.ROOT)));
      }
    }
    return rows;
  }

  /** A bridge that knows the trace's answers and no more; data comes back doubled as it came. */
  private static final class TraceBridge implements FarSide {
    private final Map<String, String> answers = new HashMap<>();
    private final ByteArrayOutputStream all = new ByteArrayOutputStream();
    private String rest = "";

    TraceBridge(List<Row> rows) {
      for (int i = 0; i + 1 < rows.size(); i++) {
        if (rows.get(i).sender().equals("client") && rows.get(i + 1).sender().equals("server")) {
          answers.put(rows.get(i).hex(), rows.get(i + 1).hex());
        }
      }
    }

    @Override
    public synchronized byte[] exchange(byte[] sent) {
      all.writeBytes(sent);
      rest += HexFormat.of().formatHex(sent);
      StringBuilder out = new StringBuilder();
      while (!rest.isEmpty()) {
        int length = lengthOfFirst();
        if (length == 0) {
          break;
        }
        String first = rest.substring(0, length);
        rest = rest.substring(length);
        out.append(answers.getOrDefault(first, first.startsWith("fffa") ? "" : first));
      }
      return HexFormat.of().parseHex(out);
    }

    private int lengthOfFirst() {
      if (rest.startsWith("fffa")) {
        int end = rest.indexOf("fff0");
        return end < 0 ? 0 : end + 4;
      }
      if (rest.startsWith("fffb") || rest.startsWith("fffd")) {
        return rest.length() < 6 ? 0 : 6;
      }
      return rest.startsWith("ffff") ? 4 : 2;
    }

    synchronized String sent() {
      return HexFormat.of().formatHex(all.toByteArray());
    }
  }

  @Test
  void theBytesOfTheTraceAreSentAndItsAnswersTaken() throws Exception {
    TraceBridge wire = new TraceBridge(trace());
    try (BridgeServer bridge = new BridgeServer(wire);
        Link link = new Rfc2217Link("127.0.0.1", bridge.port(), time)) {
      link.open(LineSettings.DEFAULT);

      assertThat(link.isOpen()).isTrue();
      assertThat(wire.sent())
          .contains("fffb2c", "fffb00", "fffd00", "fffb03", "fffd03")
          .contains("fffa2c0100002580fff0", "fffa2c0208fff0", "fffa2c0301fff0", "fffa2c0401fff0");
    }
  }

  @Test
  void dataKeepsEveryByteValueBothWays() throws Exception {
    try (BridgeServer bridge = new BridgeServer(new TraceBridge(trace()));
        Link link = new Rfc2217Link("127.0.0.1", bridge.port(), time)) {
      link.open(LineSettings.DEFAULT);
      byte[] frame = HexFormat.of().parseHex("0103ff02fffffaf0ff");

      link.write(frame);
      byte[] got = new byte[0];
      byte[] buffer = new byte[64];
      for (int i = 0; i < 20 && got.length < frame.length; i++) {
        int n = link.read(buffer, 200);
        got = TinyWire.concat(got, Arrays.copyOf(buffer, n));
      }

      assertThat(got).isEqualTo(frame);
    }
  }

  @Test
  void anotherBaudThanAskedForIsRefusedWithBoth() throws Exception {
    TraceBridge wire = new TraceBridge(trace());
    wire.answers.put("fffa2c0100002580fff0", "fffa2c6500004b00fff0");
    try (BridgeServer bridge = new BridgeServer(wire);
        Link link = new Rfc2217Link("127.0.0.1", bridge.port(), time)) {
      assertThatThrownBy(() -> link.open(LineSettings.DEFAULT))
          .hasMessageEndingWith("asked for baud 9600, the bridge set 19200");
      assertThat(link.isOpen()).isFalse();
    }
  }

  @Test
  void aBridgeWithoutTheOptionIsToldWhatToWriteInstead() throws Exception {
    try (BridgeServer bridge = new BridgeServer(sent -> HexFormat.of().parseHex("fffe2c"));
        Link link = new Rfc2217Link("127.0.0.1", bridge.port(), time)) {
      assertThatThrownBy(() -> link.open(LineSettings.DEFAULT))
          .hasMessageContaining("try tcp: in place of rfc2217:");
    }
  }

  /** Peer: the server side of pyserial (Debian's python3-serial), found by the system's Python. */
  @Test
  void anIndependentServerSetsTheLineAndPassesReadings() throws Exception {
    Path python = Path.of("/usr/bin/python3");
    Tools.requirePythonModule(python, "serial");
    try (PtyPair pair = new PtyPair(folder.resolve("near"), folder.resolve("far"));
        Served board = new Served(new SerialLink(pair.far.toString(), time), new FullWire())) {
      assertThat(board.isServing()).isTrue();
      Process server =
          new ProcessBuilder(
                  python.toString(), resource("rfc2217_server.py").toString(), pair.near.toString())
              .redirectError(ProcessBuilder.Redirect.INHERIT)
              .start();
      try (BufferedReader says = server.inputReader()) {
        int port = Integer.parseInt(says.readLine());
        readThrough(port, new LineSettings(19200, 8, LineSettings.Parity.NONE, 2));
        assertThat(says.readLine()).isEqualTo("19200 N 2");
      } finally {
        server.destroy();
      }
    }
  }

  /** A board whose answer is full of bytes that Telnet must double. */
  private static final class FullWire implements FarSide {
    @Override
    public byte[] exchange(byte[] sent) {
      return TinyDialogue.answer(0xFF, 0xFFFF, 0x0DFF, 0xFF0D);
    }
  }

  private void readThrough(int port, LineSettings line) throws InterruptedException {
    HeardListener heard = new HeardListener();
    LinePoller poller =
        new LinePoller(
            new Rfc2217Link("127.0.0.1", port, time),
            List.of(
                new BoardOnLine(
                    "house", new TinyDialogue(0xFF, false), line, Duration.ofMillis(20))),
            LineClock.of(time),
            heard);
    Thread thread = new Thread(poller, "poller");
    thread.start();
    assertThat(heard.await(() -> heard.readings().size() >= 5))
        .as("heard %s, %s", heard.entries(), heard.notes())
        .isTrue();
    poller.stop();
    thread.join(5000);
    assertThat(heard.readings().get(4).cells().mv(1)).isEqualTo(0xFFFF);
    assertThat(poller.counts("house").refusals()).isEmpty();
  }

  @Test
  void theTracesDoubledByteIsOneByteAndNotificationsAreNoData() throws Exception {
    TelnetDecoder decoder = new TelnetDecoder();
    byte[] bytes = HexFormat.of().parseHex("fffa2c6b30fff00103ffff02");

    int n = 0;
    byte[] data = new byte[16];
    for (byte b : bytes) {
      byte[] one = {b};
      if (decoder.decode(one, 1) == 1) {
        data[n++] = one[0];
      }
    }

    assertThat(HexFormat.of().formatHex(data, 0, n)).isEqualTo("0103ff02");
    assertThat(decoder.nextCommand())
        .isEqualTo(new TelnetDecoder.Command(TelnetDecoder.SB, 44, "6b30"));
  }
}
