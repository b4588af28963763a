package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Random;
import java.util.stream.Collectors;
import org.cellherd.protocol.Dialogue.Progress;
import org.cellherd.toml.Problems;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/** Every good vector as a stream: in pieces, cut short, with garbage around it. */
class VectorStreamTest {

  private static final Map<String, SpecDecoder> DECODERS =
      Specs.shippedNames().stream()
          .collect(Collectors.toMap(n -> n, n -> (SpecDecoder) Specs.find(n).orElseThrow()));

  record Case(String spec, Vector vector) {
    @Override
    public String toString() {
      return spec + ": " + vector.name();
    }

    SpecDialogue asked() {
      SpecDecoder decoder = Objects.requireNonNull(DECODERS.get(spec));
      SpecDialogue dialogue = decoder.talk(vector.address());
      dialogue.begin();
      decoder.spec().messages().stream()
          .filter(m -> m.name().equals(vector.message()))
          .forEach(m -> dialogue.ask(m, 0));
      return dialogue;
    }

    byte[] bytes() {
      return vector.exchange().get(0).answer().array();
    }
  }

  static List<Case> cases() {
    List<Case> cases = new ArrayList<>();
    for (String name : Specs.shippedNames()) {
      String file = name + ".vectors.toml";
      String text = Specs.shippedText(file).orElseThrow();
      for (Vector vector : VectorReader.read(file, text, new Problems())) {
        if (vector.refused().isEmpty() && vector.exchange().size() == 1) {
          cases.add(new Case(name, vector));
        }
      }
    }
    return cases;
  }

  /** Feeds bytes in pieces; true when something was taken, at the latest after silence. */
  private static boolean isTaken(SpecDialogue dialogue, byte[] bytes, int size) {
    boolean taken = false;
    for (int at = 0; at < bytes.length; at += size) {
      int length = Math.min(size, bytes.length - at);
      taken |= dialogue.feed(bytes, at, length) == Progress.ANSWERED;
    }
    while (dialogue.isListenOnly() && dialogue.feed(bytes, 0, 0) == Progress.ANSWERED) {
      taken = true;
    }
    return taken || dialogue.silence() == Progress.ANSWERED;
  }

  private static void assertSame(Case c, SpecDialogue dialogue, String how) {
    assertThat(
            Readings.differences(
                dialogue.partialReading(0).orElseThrow(), c.vector().reading().orElseThrow()))
        .as(how)
        .isEmpty();
  }

  @ParameterizedTest
  @MethodSource("cases")
  void isTakenAtEveryChunkSize(Case c) {
    byte[] bytes = c.bytes();
    for (int size = 1; size <= bytes.length; size++) {
      SpecDialogue dialogue = c.asked();

      assertThat(isTaken(dialogue, bytes, size)).as("pieces of %d", size).isTrue();
      assertSame(c, dialogue, "pieces of " + size);
    }
  }

  @ParameterizedTest
  @MethodSource("cases")
  void isNotTakenWhenCutAtAnyLengthAndTakenWhenSentAgain(Case c) {
    byte[] bytes = c.bytes();
    int whole = c.vector().name().contains("echo") ? 8 : 0;
    boolean several = c.asked().isListenOnly();
    for (int length = 0; length < bytes.length && !several; length++) {
      if (length == whole && whole > 0) {
        continue;
      }
      SpecDialogue dialogue = c.asked();
      byte[] cut = Arrays.copyOf(bytes, length);

      assertThat(isTaken(dialogue, cut, bytes.length)).as("%d bytes", length).isFalse();
      dialogue.retry();
      assertThat(isTaken(dialogue, bytes, 7)).as("again after %d bytes", length).isTrue();
      assertSame(c, dialogue, "again after " + length);
    }
  }

  @ParameterizedTest
  @MethodSource("cases")
  void isTakenWithGarbageBeforeAndAfter(Case c) {
    byte[] bytes = c.bytes();
    boolean lines = c.spec().equals("fennel-4") || c.spec().equals("tansy-4");
    for (int seed = 0; seed < 150; seed++) {
      Random random = new Random(seed);
      byte[] garbage = new byte[1 + random.nextInt(40)];
      random.nextBytes(garbage);
      if (seed % 3 == 0) {
        garbage[random.nextInt(garbage.length)] = bytes[0];
      }
      if (lines) {
        garbage[garbage.length - 1] = '\n';
      }
      byte[] stream = new byte[2 * garbage.length + bytes.length];
      System.arraycopy(garbage, 0, stream, 0, garbage.length);
      System.arraycopy(bytes, 0, stream, garbage.length, bytes.length);
      System.arraycopy(garbage, 0, stream, garbage.length + bytes.length, garbage.length);
      SpecDialogue dialogue = c.asked();

      assertThat(isTaken(dialogue, stream, 1 + random.nextInt(60))).as("seed %d", seed).isTrue();
      assertSame(c, dialogue, "seed " + seed);
    }
  }

  @ParameterizedTest
  @MethodSource("cases")
  void oneBitTurnedAnywhereIsNeverTakenAsSomethingElse(Case c) {
    byte[] bytes = c.bytes();
    boolean checked = !c.spec().equals("fennel-4") && !c.spec().equals("campion-8");
    for (int bit = 0; bit < 8 * bytes.length && checked; bit++) {
      byte[] broken = bytes.clone();
      broken[bit / 8] ^= (byte) (1 << (bit % 8));
      SpecDialogue dialogue = c.asked();

      if (isTaken(dialogue, broken, 16) && !dialogue.isListenOnly()) {
        assertSame(c, dialogue, "bit " + bit);
      }
    }
  }
}
