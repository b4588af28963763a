package org.cellherd.app.verb;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.BufferedWriter;
import java.io.ByteArrayOutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.concurrent.ConcurrentHashMap;
import org.cellherd.board.capture.CaptureChunk.Direction;
import org.cellherd.board.capture.CaptureReader;
import org.cellherd.board.capture.CaptureWriter;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

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
