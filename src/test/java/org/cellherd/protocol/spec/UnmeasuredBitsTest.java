package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.BitSet;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.Set;
import org.cellherd.pack.Reading;
import org.cellherd.toml.Problems;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.MethodSource;

/**
 * Every shipped binary description: its own board's answers with drawn bytes wherever nothing is
 * measured and no layout rests on. What is measured comes through as it was.
 */
class UnmeasuredBitsTest {

  private static final int TALKS = 300;

  static List<String> names() {
    return Specs.shippedNames().stream()
        .filter(n -> spec(n).messages().stream().allMatch(m -> m.body() instanceof Body))
        .toList();
  }

  private static Spec spec(String name) {
    return ((SpecDecoder) Specs.find(name).orElseThrow()).spec();
  }

  @ParameterizedTest
  @MethodSource("names")
  void whatIsNotMeasuredNeverCostsTheReading(String name) {
    Reading right = heard(spec(name), fullest(name), Optional.empty()).orElseThrow();
    for (int seed = 0; seed < TALKS; seed++) {
      String which = name + ", seed " + seed;
      Reading reading =
          heard(spec(name), fullest(name), Optional.of(new Random(seed)))
              .orElseThrow(() -> new AssertionError(which));
      assertThat(reading.cells()).as(which).isEqualTo(right.cells());
      assertThat(reading.temperatures()).as(which).isEqualTo(right.temperatures());
      assertThat(reading.currentMa()).as(which).isEqualTo(right.currentMa());
      assertThat(reading.packMv()).as(which).isEqualTo(right.packMv());
    }
  }

  /** The reading of its vectors that tells most. */
  private static Reading fullest(String name) {
    String file = name + ".vectors.toml";
    return VectorReader.read(file, Specs.shippedText(file).orElseThrow(), new Problems()).stream()
        .flatMap(v -> v.reading().stream())
        .max(Comparator.comparing(r -> r.cells().count() + r.temperatures().count()))
        .orElseThrow();
  }

  private static Optional<Reading> heard(Spec spec, Reading told, Optional<Random> random) {
    SpecDialogue talk = new SpecDialogue(spec, 1);
    talk.begin();
    Set<String> kept = steering(spec);
    for (Message message : spec.messages()) {
      if (!spec.listenOnly()) {
        assertThat(talk.nextRequest()).isPresent();
      }
      for (byte[] data : message.body().encode(told)) {
        random.ifPresent(r -> draw(r, message, data, kept));
        byte[] frame = spec.replies().build(1, message.code(), data);
        talk.feed(frame, 0, frame.length);
        talk.silence();
      }
    }
    return talk.reading(5);
  }

  /** Names of the fields that a layout or a direction rests on. */
  private static Set<String> steering(Spec spec) {
    Set<String> names = new HashSet<>();
    for (Message message : spec.messages()) {
      for (Field field : ((Body) message.body()).fields()) {
        field.steeredBy().forEach(n -> names.add(n.substring(n.indexOf('.') + 1)));
        if (field.meaning().constant().required()) {
          names.add(field.name());
        }
      }
      message.pages().ifPresent(p -> names.add(p.field()));
    }
    return names;
  }

  /** Whole bytes that no measured or steering field has a part in, most of them. */
  private static void draw(Random random, Message message, byte[] data, Set<String> steering) {
    BitSet free = new BitSet();
    BitSet kept = new BitSet();
    Walk walk = new Walk(data, data.length, n -> (long) data.length);
    for (Field field : ((Body) message.body()).fields()) {
      Walk.Spot spot = walk.step(field);
      boolean isKept = field.meaning().target().isMeasured() || steering.contains(field.name());
      for (int i = 0; i < spot.count(); i++) {
        (isKept ? kept : free).set(spot.at(i), spot.at(i) + field.coding().bits());
      }
    }
    message.match().ifPresent(m -> kept.set(8 * m.at(), 8 * (m.at() + m.bytes().length())));
    int way = random.nextInt(4);
    for (int at = 0; at < data.length; at++) {
      boolean isFree = !free.get(8 * at, 8 * at + 8).isEmpty();
      if (isFree && kept.get(8 * at, 8 * at + 8).isEmpty() && random.nextInt(3) > 0) {
        data[at] = (byte) (way == 0 ? 0xFF : way == 1 ? 0x80 : random.nextInt(256));
      }
    }
  }
}
