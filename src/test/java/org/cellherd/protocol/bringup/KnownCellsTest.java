package org.cellherd.protocol.bringup;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/**
 * Drawn boards whose cells come in unusual units, with or without an offset: two cells read off a
 * meter are enough, and the draft then shows all cells as they were.
 */
class KnownCellsTest {
  private static final int BOARDS = 16;
  private static final int MESSAGES = 60;

  /** How a drawn board writes its cells: raw = (mV - offset) / unit. */
  private record Writing(int bytes, double unit, int offset, boolean isLow) {
    static Writing draw(Random random) {
      int bytes = 1 + random.nextInt(2);
      double[] units = bytes == 1 ? new double[] {10, 20} : new double[] {0.2, 0.25, 0.5, 2, 5};
      int offset = bytes == 1 ? 2000 : 500 * random.nextInt(5);
      return new Writing(bytes, units[random.nextInt(units.length)], offset, random.nextBoolean());
    }

    byte[] row(int[] cells) {
      byte[] out = new byte[bytes * cells.length];
      for (int i = 0; i < cells.length; i++) {
        long raw = Math.round((cells[i] - offset) / unit);
        for (int b = 0; b < bytes; b++) {
          out[bytes * i + b] = (byte) (raw >> (8 * (isLow ? b : bytes - 1 - b)));
        }
      }
      return out;
    }
  }

  /** Cells that differ by 10 mV and more, and move together as a load is switched. */
  private static int[] cells(Random random, int count, int sag) {
    int[] cells = new int[count];
    for (int i = 0; i < count; i++) {
      cells[i] = 3250 + 13 * i % 90 + sag + random.nextInt(3);
    }
    return cells;
  }

  @Test
  void twoCellsOfAMeterFindUnitAndOffsetOfAll() {
    for (int seed = 0; seed < BOARDS; seed++) {
      Random random = new Random(seed);
      Writing writing = Writing.draw(random);
      int count = 6 + random.nextInt(10);
      int[][] truth = new int[MESSAGES][];
      InventedLine line = new InventedLine(seed, 0);
      line.said(
          MESSAGES,
          n -> {
            truth[n] = cells(random, count, n / 7 % 3 * 25);
            byte[] body = InventedLine.bytes(0xC9, 0x31, writing.row(truth[n]), n & 0x7F);
            int sum = 0;
            for (byte b : body) {
              sum += b & 0xFF;
            }
            return InventedLine.bytes(body, sum);
          });
      String known =
          String.format(
              Locale.ROOT,
              "cell 1 = %d mV at 0 s, cell %d = %d mV at 0 s",
              truth[0][0],
              count,
              truth[0][count - 1]);

      Identification found =
          BringUp.identify(HeardBytes.recording(line.heard()), Known.parse(known));

      String draft = found.draft("drawn").orElse("no draft");
      String which = "seed " + seed + ": " + writing + ", " + count + " cells\n" + draft;
      assertThat(decoded(draft, line, which)).as(which).isPresent();
      Reading last = decoded(draft, line, which).orElseThrow();
      assertThat(last.cells().count()).as(which).isEqualTo(count);
      for (int i = 0; i < count; i++) {
        double off = last.cells().mv(i + 1) - truth[MESSAGES - 1][i];
        assertThat(Math.abs(off)).as(which).isLessThanOrEqualTo(writing.unit / 2 + 0.5);
      }
    }
  }

  private static Optional<Reading> decoded(String draft, InventedLine line, String which) {
    Problems problems = new Problems();
    Decoder decoder =
        Specs.read("draft.toml", draft, problems)
            .orElseThrow(() -> new AssertionError(problems + which));
    Dialogue dialogue = decoder.dialogue(0);
    Optional<Reading> last = Optional.empty();
    for (HeardBytes heard : line.heard()) {
      Dialogue.Progress progress = dialogue.feed(heard.bytes(), 0, heard.bytes().length);
      while (progress == Dialogue.Progress.ANSWERED) {
        last = dialogue.reading(heard.atMs());
        progress = dialogue.feed(heard.bytes(), 0, 0);
      }
    }
    return last;
  }
}
