package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedReader;
import java.io.IOException;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.net.Socket;
import java.nio.charset.StandardCharsets;
import java.util.HexFormat;
import java.util.List;
import java.util.regex.Pattern;
import java.util.stream.Stream;
import org.cellherd.JavaCommand;
import org.cellherd.Tools;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.CsvSource;
import org.junit.jupiter.params.provider.ValueSource;

/** What the words of {@code read} say beside the numbers, its JSON says too. */
class ReadDoubtsTest {

  private static final String LIVE =
      "6b31012e0404be04bf03b5fffe04e210033f033e0340033d033f033e033f0340033e033f03"
          + "3d033e033f03400390033214d821";

  /** The state of charge and the check byte differ: 87.3 %, and 160 %, which no board can know. */
  @ParameterizedTest
  @CsvSource({"0369, 3e, false", "0640, 64, true"})
  void leftOutAndExtrasAreInBoth(String soc, String check, boolean isDoubted) throws Exception {
    String state = "6b1c010d00290021484000" + soc + "00015504" + check;
    try (ServerSocket board = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      inBackground(() -> accept(board, LIVE, state));
      String link = "tcp:127.0.0.1:" + board.getLocalPort();
      List<String> words = List.of("read", "--link", link, "--spec", "sorrel-16");

      String text = Said.whenDone(words);
      String json = Said.whenDone(Stream.concat(words.stream(), Stream.of("--json")).toList());

      assertThat(text.contains("  left out: soc")).as(text).isEqualTo(isDoubted);
      assertThat(
              Pattern.compile("\"left_out\": \\[\\s*\\{\\s*\"name\": \"soc\"").matcher(json).find())
          .as(json)
          .isEqualTo(isDoubted);
      assertThat(text).contains("  cycles: 41");
      assertThat(json).contains("\"cycles\"", "\"text\": \"41\"");
    }
  }

  /** 16 cells add up to 53.35 V; the pack's last two bytes and the check byte differ. */
  @ParameterizedTest
  @CsvSource({"14d8, 21, false", "14da, 1f, false", "1388, 72, true", "0a6c, 97, true"})
  void aPackVoltageThatIsNotTheSumIsDoubtedInBoth(String pack, String check, boolean isDoubted)
      throws Exception {
    String live = LIVE.substring(0, LIVE.length() - 6) + pack + check;
    try (ServerSocket board = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      inBackground(() -> accept(board, live, "6b1c010d002900214840000369000155043e"));
      String link = "tcp:127.0.0.1:" + board.getLocalPort();
      List<String> words = List.of("read", "--link", link, "--spec", "sorrel-16");

      String text = Said.whenDone(words);
      String json = Said.whenDone(Stream.concat(words.stream(), Stream.of("--json")).toList());

      assertThat(text.contains("  doubtful: pack voltage")).as(text).isEqualTo(isDoubted);
      assertThat(text.contains("the cells add up to 53.3")).as(text).isEqualTo(isDoubted);
      assertThat(json.contains("\"name\": \"pack voltage\"")).as(json).isEqualTo(isDoubted);
    }
  }

  /** A file or another program would read the codes that wipe a terminal as text. */
  @ParameterizedTest
  @ValueSource(booleans = {true, false})
  void onlyATerminalIsWiped(boolean isTerminal) throws Exception {
    Tools.require("script");
    try (ServerSocket board = new ServerSocket(0, 1, InetAddress.getLoopbackAddress())) {
      inBackground(() -> accept(board, LIVE, "6b1c010d002900214840000369000155043e"));
      String link = "tcp:127.0.0.1:" + board.getLocalPort();
      List<String> read =
          JavaCommand.of(
              JavaCommand.SHORT,
              Main.class.getName(),
              "read",
              "--watch",
              "--link",
              link,
              "--spec",
              "sorrel-16");
      List<String> wrapped = List.of("script", "-qefc", String.join(" ", read), "/dev/null");
      Process process = new ProcessBuilder(isTerminal ? wrapped : read).start();
      try (BufferedReader out = process.inputReader(StandardCharsets.UTF_8)) {
        StringBuilder said = new StringBuilder();
        for (int readings = 0; readings < 2; ) {
          String line = out.readLine();
          assertThat(line).as("%s", said).isNotNull();
          said.append(line).append('\n');
          readings += line.contains("spread") ? 1 : 0;
        }
        assertThat(said.indexOf("\u001b[2J") >= 0).as("%s", said).isEqualTo(isTerminal);
      } finally {
        process.descendants().forEach(ProcessHandle::destroyForcibly);
        process.destroyForcibly();
      }
    }
  }

  private static void inBackground(Runnable work) {
    Thread thread = new Thread(work, "board");
    thread.setDaemon(true);
    thread.start();
  }

  /** A verb that was run within this process leaves its line open. */
  private static void accept(ServerSocket board, String live, String state) {
    try {
      while (true) {
        Socket line = board.accept();
        inBackground(() -> answer(line, live, state));
      }
    } catch (IOException ended) {
      assertThat(board.isClosed()).isTrue();
    }
  }

  private static void answer(Socket line, String live, String state) {
    try (line) {
      byte[] request = line.getInputStream().readNBytes(5);
      while (request.length == 5) {
        String frame = request[1] == 0x31 ? live : state;
        line.getOutputStream().write(HexFormat.of().parseHex(frame));
        request = line.getInputStream().readNBytes(5);
      }
    } catch (IOException ended) {
      assertThat(line.isClosed()).isTrue();
    }
  }
}
