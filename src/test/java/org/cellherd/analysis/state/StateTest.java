package org.cellherd.analysis.state;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Random;
import java.util.TreeMap;
import java.util.concurrent.TimeUnit;
import org.cellherd.pack.Facts;
import org.junit.jupiter.api.Test;

/** One description, both ways; drawn with a seed that a failure prints. */
class StateTest {
  private static final long SEED = 20261128;
  private static final int DRAWS = 300;

  /** A value that cannot change. */
  private record Point(long atMs, double mv) {
    static final Point NONE = new Point(0, 0);

    Point state(State io) {
      return new Point(io.number(atMs), io.number(mv));
    }
  }

  /** A part of each kind that a fold may have. */
  private static final class Everything {
    long whole;
    int small;
    double real;
    boolean flag;
    String text = "";
    TimeUnit unit = TimeUnit.DAYS;
    Facts facts = Facts.NONE;
    Optional<Point> maybe = Optional.empty();
    final long[] times = new long[3];
    final int[] cells = new int[4];
    final double[] values = new double[5];
    final List<Point> points = new ArrayList<>();
    final Map<Integer, double[]> parts = new TreeMap<>();

    void draw(Random random) {
      whole = random.nextLong();
      small = random.nextInt();
      real = Double.longBitsToDouble(random.nextLong());
      flag = random.nextBoolean();
      text = "µ" + random.nextInt();
      unit = random.nextBoolean() ? TimeUnit.HOURS : TimeUnit.MINUTES;
      facts =
          Facts.of()
              .put("cell", random.nextInt())
              .put("inner", Facts.of().put("ah", random.nextGaussian(), 3).build())
              .put("list", List.of(1, 2L, "three"))
              .putTime("at", whole)
              .putUnknown("unknown")
              .build();
      maybe = random.nextBoolean() ? Optional.of(new Point(small, real)) : Optional.empty();
      Arrays.setAll(times, i -> random.nextLong());
      Arrays.setAll(cells, i -> random.nextInt());
      Arrays.setAll(values, i -> random.nextGaussian());
      random.longs(random.nextInt(9), 0, 99).forEach(l -> points.add(new Point(l, l / 7.0)));
      random.ints(random.nextInt(5), -9, 9).forEach(k -> parts.put(k, new double[] {k, -k}));
    }

    void state(State io) {
      io.section("everything", 2);
      whole = io.number(whole);
      small = io.number(small);
      real = io.number(real);
      flag = io.flag(flag);
      text = io.text(text);
      unit = io.constant(unit);
      facts = io.facts(facts);
      maybe = io.optional(maybe, Point.NONE, Point::state);
      io.each(times);
      io.each(cells);
      io.each(values);
      io.list(points, 9, Point.NONE, Point::state);
      io.parts(parts, 5, k -> new double[2], (part, s) -> s.each(part));
    }

    String shown() {
      StringBuilder all = new StringBuilder();
      all.append(whole + " " + small + " " + Double.doubleToRawLongBits(real) + flag + text + unit);
      all.append(facts).append(maybe.map(p -> p.atMs + " " + Double.doubleToRawLongBits(p.mv)));
      all.append(Arrays.toString(times)).append(Arrays.toString(cells));
      all.append(Arrays.toString(values)).append(points);
      parts.forEach((k, v) -> all.append(k).append(Arrays.toString(v)));
      return all.toString();
    }
  }

  @Test
  void whatIsSavedComesBack() {
    for (int i = 0; i < DRAWS; i++) {
      Everything before = new Everything();
      before.draw(new Random(SEED + i));
      String asItWas = before.shown();
      SavedState saved = SavedState.of(before::state);
      Everything after = new Everything();
      saved.into(after::state);

      assertThat(before.shown()).as("saving changes nothing, seed %d", SEED + i).isEqualTo(asItWas);
      assertThat(after.shown()).as("seed %d", SEED + i).isEqualTo(asItWas);
      assertThat(SavedState.of(after::state)).as("seed %d", SEED + i).isEqualTo(saved);
    }
  }

  @Test
  void everyMissingOrSpareByteIsRefused() {
    Everything before = new Everything();
    before.draw(new Random(SEED));
    byte[] bytes = SavedState.of(before::state).bytes();
    for (int length = 0; length < bytes.length; length++) {
      refuses(Arrays.copyOf(bytes, length));
    }
    refuses(Arrays.copyOf(bytes, bytes.length + 1));
  }

  /** No other error, no endless list. */
  @Test
  void nonsenseIsRefusedOrAState() {
    Everything before = new Everything();
    before.draw(new Random(SEED));
    byte[] plain = SavedState.of(before::state).bytes();
    Random random = new Random(SEED);
    int refused = 0;
    for (int i = 0; i < 20 * DRAWS; i++) {
      byte[] other = plain.clone();
      other[random.nextInt(other.length)] = (byte) random.nextInt();
      Everything after = new Everything();
      try {
        SavedState.ofBytes(other).into(after::state);
        assertThat(SavedState.of(after::state).bytes()).isNotEmpty();
      } catch (StateMismatch expected) {
        refused++;
      }
    }
    assertThat(refused).isBetween(DRAWS, 19 * DRAWS);
  }

  @Test
  void anotherVersionIsNamed() {
    SavedState older = SavedState.of(io -> io.section("everything", 1));

    assertThatThrownBy(() -> older.into(new Everything()::state))
        .isInstanceOf(StateMismatch.class)
        .hasMessage("expected state everything 2, found everything 1");
  }

  private static void refuses(byte[] bytes) {
    assertThatThrownBy(() -> SavedState.ofBytes(bytes).into(new Everything()::state))
        .isInstanceOf(StateMismatch.class);
  }
}
