package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedWriter;
import java.io.ByteArrayOutputStream;
import java.net.InetAddress;
import java.net.ServerSocket;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.ConcurrentHashMap;
import org.cellherd.app.ExitCode;
import org.cellherd.board.CaptureChunk.Direction;
import org.cellherd.board.CaptureReader;
import org.cellherd.board.CaptureWriter;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

/** One capture of several lines: whole lines, each under its name, each at once. */
class CapturedLinesTest {

  @TempDir private Path folder;

  @Test
  void linesThatWriteAtOnceAreKeptApartAndWhole() throws Exception {
    for (int seed = 0; seed < 8; seed++) {
      Path file = folder.resolve("c" + seed + ".jsonl");
      int lines = 2 + seed % 4;
      Map<String, String> said = new ConcurrentHashMap<>();
      try (BufferedWriter out = Files.newBufferedWriter(file, StandardCharsets.UTF_8)) {
        List<Thread> threads = new ArrayList<>();
        for (int i = 0; i < lines; i++) {
          String link = "/dev/line \"" + i + "\"\u00fc";
          Random random = new Random(100L * seed + i);
          threads.add(new Thread(() -> said.put(link, talk(out, link, random))));
        }
        threads.forEach(Thread::start);
        for (Thread thread : threads) {
          thread.join();
        }
        // Read before it is closed: a kill here would have cost nothing.
        assertThat(heard(file)).as("seed %d", seed).isEqualTo(said);
      }
    }
  }

  /** A script must not take an empty capture for one of a board. */
  @ParameterizedTest
  @ValueSource(strings = {"--spec sorrel-16", "--baud 9600"})
  void aLineOnWhichNothingCameIsNoSuccess(String how) throws Exception {
    try (ServerSocket mute = new ServerSocket(0, 5, InetAddress.getLoopbackAddress())) {
      Path file = folder.resolve("mute.jsonl");
      String line = "capture --link tcp:127.0.0.1:" + mute.getLocalPort() + " --seconds 1 " + how;
      List<String> words = new ArrayList<>(List.of(line.split(" ")));
      words.add(file.toString());

      Said said = Said.by(words.toArray(new String[0]));

      assertThat(said.code()).isEqualTo(ExitCode.LINK);
      assertThat(said.err()).contains("nothing came");
    }
  }

  /** What was captured is there for good: a service that is started again goes on behind it. */
  @ParameterizedTest
  @ValueSource(strings = {"", "\n", "\n{\"at_ms\":9,\"dir\":\"rx\",\"he", "\n{\"at_ms\":9"})
  void aCaptureGoesOnBehindAnEarlierOne(String end) throws Exception {
    Path file = folder.resolve("c.jsonl");
    String earlier = "{\"at_ms\":7,\"link\":\"a\",\"dir\":\"rx\",\"hex\":\"3132\"}";
    Files.writeString(file, earlier + end);
    for (int i = 0; i < 2; i++) {
      try (BufferedWriter out = new CaptureFile(file).append()) {
        new CaptureWriter(out, "b", () -> 9L).write(Direction.RX, new byte[] {'x'}, 1);
      }
    }

    assertThat(Files.readString(file)).startsWith(earlier + "\n");
    assertThat(heard(file)).isEqualTo(Map.of("a", "12", "b", "xx"));
  }

  @Test
  void aFirstLineThatWasCutShortAnywhereStopsNoCapture() throws Exception {
    String line = "{\"at_ms\":7,\"link\":\"a\",\"dir\":\"rx\",\"hex\":\"3132\"}";
    for (int length = 0; length < line.length(); length++) {
      Path file = folder.resolve(length + ".jsonl");
      Files.writeString(file, line.substring(0, length));
      try (BufferedWriter out = new CaptureFile(file).append()) {
        new CaptureWriter(out, "b", () -> 9L).write(Direction.RX, new byte[] {'x'}, 1);
      }

      assertThat(heard(file)).as("%d characters", length).isEqualTo(Map.of("b", "x"));
    }
  }

  @Test
  void whatIsNoCaptureIsNotWrittenInto() throws Exception {
    Path file = folder.resolve("plan.toml");
    Files.writeString(file, "zone = \"UTC\"");

    Said said = Said.by("capture", "--link", "tcp:127.0.0.1:1", "--seconds", "1", file.toString());

    assertThat(said.code()).isEqualTo(ExitCode.USAGE);
    assertThat(said.err()).contains("plan.toml", "not a capture", "name another file");
    assertThat(file).hasContent("zone = \"UTC\"");
  }

  private static String talk(BufferedWriter out, String link, Random random) {
    CaptureWriter writer = new CaptureWriter(out, link, () -> 7L);
    ByteArrayOutputStream said = new ByteArrayOutputStream();
    for (int i = 0; i < 300; i++) {
      byte[] bytes = new byte[1 + random.nextInt(i % 50 == 0 ? 6000 : 40)];
      random.nextBytes(bytes);
      writer.write(Direction.RX, bytes, bytes.length);
      said.writeBytes(bytes);
    }
    assertThat(writer.problem()).isEmpty();
    return said.toString(StandardCharsets.ISO_8859_1);
  }

  private static Map<String, String> heard(Path file) throws Exception {
    Map<String, String> heard = new ConcurrentHashMap<>();
    try (CaptureReader reader = CaptureReader.open(file)) {
      reader.next();
    }
    new CaptureFile(file)
        .read(
            (chunk, line) -> {
              String text = new String(chunk.bytes(), StandardCharsets.ISO_8859_1);
              heard.merge(chunk.link(), text, String::concat);
              return true;
            });
    return heard;
  }
}
