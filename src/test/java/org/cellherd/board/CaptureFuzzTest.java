package org.cellherd.board;

import static org.assertj.core.api.Assertions.assertThat;

import com.code_intelligence.jazzer.junit.FuzzTest;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.time.Duration;
import java.util.List;
import java.util.Optional;
import org.cellherd.pack.LogEntry;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.spec.Specs;

/**
 * Contract: any file is read as a capture to its end or to a problem that names its line, and what
 * could be read is replayed through every shipped decoder without an exception.
 */
class CaptureFuzzTest {

  private static final List<Decoder> DECODERS = Specs.shipped();

  private static final BoardListener DEAF =
      new BoardListener() {
        @Override
        public void heard(String pack, LogEntry entry) {}

        @Override
        public void note(String pack, String text) {}

        @Override
        public void otherBoard(String pack, String before, String now) {}
      };

  @FuzzTest(maxDuration = "60s")
  void anyFileIsReplayedOrRefusedWithItsLine(byte[] data) throws IOException {
    if (data.length == 0) {
      return;
    }
    Decoder decoder = DECODERS.get((data[0] & 0xFF) % DECODERS.size());
    CaptureReplay replay =
        new CaptureReplay(
            List.of(
                new BoardOnLine(
                    "pack", decoder.dialogue(1), decoder.line(), Duration.ofSeconds(1))),
            DEAF);
    CaptureReader reader =
        new CaptureReader("c.jsonl", new ByteArrayInputStream(data, 1, data.length - 1));
    long lines = 0;
    for (Optional<CaptureChunk> next = chunk(reader); next.isPresent(); next = chunk(reader)) {
      replay.take(next.get());
      lines++;
      assertThat(lines).isLessThanOrEqualTo(data.length);
    }
    replay.end();
  }

  private static Optional<CaptureChunk> chunk(CaptureReader reader) throws IOException {
    try {
      return reader.next();
    } catch (CaptureProblem wrong) {
      assertThat(wrong.getMessage()).startsWith("c.jsonl:" + reader.line());
      return Optional.empty();
    }
  }
}
