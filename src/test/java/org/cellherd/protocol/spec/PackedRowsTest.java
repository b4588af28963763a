package org.cellherd.protocol.spec;

import static org.assertj.core.api.Assertions.assertThat;

import java.math.BigInteger;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalInt;
import java.util.Random;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import org.cellherd.pack.CellVoltages;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Dialogue.Extra;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/**
 * Drawn rows of numbers of any number of bits, in either order, anywhere in the data, judged by the
 * data as one large number: what stands there is read, and written again as it stood.
 */
class PackedRowsTest {

  private static final int BOARDS = 3000;

  /** A drawn row; places in bits from the beginning of the data. */
  private record Row(
      String name, char kind, int bits, boolean little, int at, int stride, int count) {

    static Row draw(Random random, String name) {
      char kind = "usm".charAt(random.nextInt(3));
      int bits = random.nextInt(3) == 0 ? 10 + 2 * random.nextInt(3) : 2 + random.nextInt(63);
      int stride = random.nextInt(4) == 0 ? 8 * ((bits + 7) / 8 + random.nextInt(2)) : bits;
      return new Row(
          name,
          kind,
          bits,
          random.nextBoolean(),
          random.nextInt(100),
          stride,
          1 + random.nextInt(16));
    }

    int end() {
      return at + (count - 1) * stride + bits;
    }

    String toml() {
      String where = ", at = " + at / 8 + (at % 8 == 0 ? "" : ", at_bit = " + at % 8);
      String apart = stride == bits ? "" : ", stride = " + stride / 8;
      return "{ name = \"%s\", type = \"%c%d\", order = \"%s\", repeat = %d%s%s }"
          .formatted(name, kind, bits, little ? "little" : "big", count, where, apart);
    }

    BigInteger number(byte[] data, int index) {
      int from = at + index * stride;
      byte[] highFirst = data.clone();
      for (int i = 0; little && i < data.length; i++) {
        highFirst[i] = data[data.length - 1 - i];
      }
      int below = little ? from : 8 * data.length - from - bits;
      BigInteger word =
          new BigInteger(1, highFirst).shiftRight(below).mod(BigInteger.ONE.shiftLeft(bits));
      boolean top = word.testBit(bits - 1);
      return switch (kind) {
        case 'u' -> word;
        case 's' -> top ? word.subtract(BigInteger.ONE.shiftLeft(bits)) : word;
        default -> top ? word.clearBit(bits - 1).negate() : word;
      };
    }
  }

  private static SpecDecoder board(String fields, String message) {
    String text =
        """
        spec = 1
        id = "packed"
        title = "Packed"
        talk = "listen"
        [frame]
        layout = ["start", "data", "checksum"]
        start = "5A"
        [frame.checksum]
        kind = "sum8"
        [[message]]
        name = "all"
        %s
        field = [ %s ]
        """
            .formatted(message, fields);
    Problems problems = new Problems();
    return new SpecDecoder(
        SpecReader.read("packed.toml", text, problems)
            .orElseThrow(() -> new AssertionError(problems + text)));
  }

  @Test
  void aNumberOfAnySizeIsReadWhereItStands() {
    for (int seed = 0; seed < BOARDS; seed++) {
      Random random = new Random(seed);
      List<Row> rows = IntStream.range(0, 3).mapToObj(i -> Row.draw(random, "r" + i)).toList();
      int bytes = rows.stream().mapToInt(r -> (r.end() + 7) / 8).max().orElseThrow();
      byte[] data = new byte[bytes];
      random.nextBytes(data);
      String fields = rows.stream().map(Row::toml).collect(Collectors.joining(", "));
      Message message = board(fields, "").spec().messages().get(0);
      Draft draft = new Draft();

      String which = "seed " + seed + ": " + fields;
      assertThat(message.body().decode(data, 0, draft)).as(which).isEmpty();
      List<Extra> right = new ArrayList<>();
      for (Row row : rows) {
        for (int i = 0; i < row.count(); i++) {
          String name = row.count() == 1 ? row.name() : row.name() + " " + (i + 1);
          right.add(new Extra(name, row.number(data, i).toString()));
        }
      }
      assertThat(draft.extras()).as(which).isEqualTo(right);
      assertThat(message.body().length(data, bytes, RawValues.NOTHING)).as(which).isEqualTo(bytes);
    }
  }

  @Test
  void cellsOfTwelveBitsAreWrittenAsTheyAreRead() {
    for (int seed = 0; seed < BOARDS; seed++) {
      Random random = new Random(seed);
      int bits = 10 + random.nextInt(6);
      int cells = 1 + random.nextInt(24);
      String row =
          "{ name = \"n\", type = \"u6\", order = \"%2$s\" }, { as = \"cell\", type = \"u%1$d\", order = \"%2$s\", repeat = \"n\", most = 24, unit = \"mV\" }, { name = \"tail\", type = \"u16\", value = 0x1234 }"
              .formatted(bits, random.nextBoolean() ? "big" : "little");
      Message message = board(row, "").spec().messages().get(0);
      OptionalInt[] voltages = new OptionalInt[cells];
      for (int i = 0; i < cells; i++) {
        voltages[i] = OptionalInt.of(10 * random.nextInt(1 << bits));
      }
      Reading reading = Reading.at(0).cells(CellVoltages.ofOptional(voltages)).build();

      byte[] data = message.body().encode(reading).get(0);
      Draft draft = new Draft();

      String which = "seed " + seed + ": " + row;
      assertThat(data.length).as(which).isEqualTo((6 + bits * cells + 7) / 8 + 2);
      assertThat(message.body().decode(data, 0, draft)).as(which).isEmpty();
      assertThat(draft.reading(0)).as(which).isEqualTo(reading);
      assertThat(draft.extras()).as(which).contains(new Extra("tail", "4660"));
    }
  }

  @Test
  void aSliceMayReachOverAllBitsOfAWord() {
    for (int seed = 0; seed < BOARDS; seed++) {
      Random random = new Random(seed);
      int word = 8 * (1 + random.nextInt(8));
      int bit = random.nextInt(word);
      int bits = 1 + random.nextInt(word - bit);
      byte[] data = new byte[word / 8];
      random.nextBytes(data);
      String fields =
          "{ name = \"word\", type = \"u%d\", show = false }, { name = \"slice\", over = \"word\", bit = %d, bits = %d }"
              .formatted(word, bit, bits);
      Draft draft = new Draft();

      board(fields, "").spec().messages().get(0).body().decode(data, 0, draft);

      BigInteger right =
          new BigInteger(1, data).shiftRight(bit).mod(BigInteger.ONE.shiftLeft(bits));
      assertThat(draft.extras())
          .as("seed " + seed + ": " + fields)
          .containsExactly(new Extra("slice", right.toString()));
    }
  }
}
