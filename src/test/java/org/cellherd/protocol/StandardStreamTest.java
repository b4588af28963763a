package org.cellherd.protocol;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Random;
import org.cellherd.protocol.frame.FrameScanner;
import org.cellherd.protocol.frame.FrameScanner.Verdict;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Every good frame of the standards as a stream: in pieces, cut short, with garbage around it. */
class StandardStreamTest {

  static List<StandardFrame> frames() {
    return StandardFrame.all();
  }

  private static FrameScanner scanner(StandardFrame frame) {
    return new FrameScanner(frame.framing(), frame.expectation());
  }

  /** The data of all that is taken of bytes that come in pieces and then end, as hex. */
  private static List<String> taken(FrameScanner scanner, byte[] bytes, int size) {
    List<String> all = new ArrayList<>();
    for (int at = 0; at < bytes.length; at += size) {
      scanner.append(bytes, at, Math.min(size, bytes.length - at));
      take(scanner, false, all);
    }
    take(scanner, true, all);
    return all;
  }

  private static void take(FrameScanner scanner, boolean silent, List<String> into) {
    while (scanner.next(silent) == Verdict.TAKEN) {
      into.add(Vectors.hex(scanner.frame().orElseThrow().data()));
    }
  }

  /** The frame's data, alone in a list. */
  private static List<String> whole(StandardFrame frame) {
    List<String> data = taken(scanner(frame), frame.bytes().array(), 1024);
    assertThat(data).hasSize(1);
    return data;
  }

  @ParameterizedTest
  @MethodSource("frames")
  void isTakenOnceAtEveryChunkSize(StandardFrame frame) {
    List<String> expected = whole(frame);
    for (int size = 1; size <= frame.bytes().length(); size++) {
      assertThat(taken(scanner(frame), frame.bytes().array(), size))
          .as("pieces of %d", size)
          .isEqualTo(expected);
    }
  }

  @ParameterizedTest
  @MethodSource("frames")
  void isNotTakenWhenCutAtAnyLengthAndTakenWhenSentAgain(StandardFrame frame) {
    List<String> expected = whole(frame);
    for (int length = 0; length < frame.bytes().length(); length++) {
      FrameScanner scanner = scanner(frame);
      byte[] cut = Arrays.copyOf(frame.bytes().array(), length);

      assertThat(taken(scanner, cut, 16)).as("%d bytes", length).isEmpty();
      assertThat(taken(scanner, frame.bytes().array(), 16))
          .as("again after %d bytes", length)
          .isEqualTo(expected);
    }
  }

  @ParameterizedTest
  @MethodSource("frames")
  void isTakenWithGarbageBeforeAndAfter(StandardFrame frame) {
    List<String> expected = whole(frame);
    boolean isLine = frame.name().startsWith("NMEA");
    for (int seed = 0; seed < 100; seed++) {
      Random random = new Random(seed);
      byte[] before = garbage(random);
      if (isLine) {
        before[before.length - 1] = '\n';
      }
      byte[] stream = joined(before, frame.bytes().array(), garbage(random));

      assertThat(taken(scanner(frame), stream, 1 + random.nextInt(40)))
          .as("seed %d", seed)
          .isEqualTo(expected);
    }
  }

  private static byte[] garbage(Random random) {
    byte[] garbage = new byte[1 + random.nextInt(40)];
    random.nextBytes(garbage);
    return garbage;
  }

  private static byte[] joined(byte[]... parts) {
    ByteArrayOutputStream all = new ByteArrayOutputStream();
    for (byte[] part : parts) {
      all.writeBytes(part);
    }
    return all.toByteArray();
  }
}
