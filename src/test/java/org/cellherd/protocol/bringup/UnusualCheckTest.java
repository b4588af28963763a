package org.cellherd.protocol.bringup;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.protocol.bringup.BringUpTest.print;
import static org.cellherd.protocol.bringup.BringUpTest.readBy;
import static org.cellherd.protocol.bringup.InventedLine.bytes;
import static org.cellherd.protocol.bringup.InventedLine.cells;
import static org.cellherd.protocol.bringup.InventedLine.swapped;
import static org.cellherd.protocol.bringup.InventedLine.words;

import java.nio.charset.StandardCharsets;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.Locale;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** Invented boards whose check values are made or placed as few are, and frames on CAN. */
class UnusualCheckTest {

  /** CRC-16/DNP; its published check value over "123456789" is EA82 (catalogue, from memory). */
  private static final BitwiseCrc DNP = new BitwiseCrc(16, 0x3D65, 0, true, 0xFFFF);

  private static int sum(byte[] bytes, int from) {
    int sum = 0;
    for (int i = from; i < bytes.length; i++) {
      sum += bytes[i] & 0xFF;
    }
    return sum;
  }

  private static byte[] seeded(int n) {
    byte[] body = bytes(0xC3, 0x3C, n, words(cells(n, 9)));
    return bytes(body, sum(body, 0) + 0x6E);
  }

  @Test
  void aSumThatBeginsWithAConstantIsFoundWithIt() {
    Identification found =
        HeardBytes.identify(new InventedLine(21, 0.2).said(36, UnusualCheckTest::seeded).heard());

    print("sum with a constant", found);
    assertThat(found.isSure()).isTrue();
    assertThat(found.checksum()).contains("sum8");
    assertThat(found.draft("sloe").orElseThrow()).contains("seed = 0x");
    Reading reading = readBy(found.draft("sloe").orElseThrow(), seeded(7)).orElseThrow();
    assertThat(reading.cells().mv(9)).isEqualTo(cells(7, 9)[8]);
  }

  private static byte[] inFront(int n) {
    byte[] data = bytes(n, words(cells(n, 12)));
    return bytes(0xD2, 0x2D, words(sum(data, 0)), data);
  }

  @Test
  void aCheckValueInFrontOfTheDataIsFound() {
    Identification found =
        HeardBytes.identify(new InventedLine(22, 0.2).said(36, UnusualCheckTest::inFront).heard());

    print("sum in front", found);
    assertThat(found.isSure()).isTrue();
    assertThat(found.checksum()).contains("sum16");
    assertThat(found.sentences()).anyMatch(t -> t.contains("in front, from byte 3 on"));
    Reading reading = readBy(found.draft("rue").orElseThrow(), inFront(5)).orElseThrow();
    assertThat(reading.cells().mv(12)).isEqualTo(cells(5, 12)[11]);
  }

  private static byte[] ownCrc(int n) {
    byte[] body = bytes(0x4D, n, words(cells(n, 11)));
    return bytes(body, swapped(words((int) DNP.over(body))));
  }

  @Test
  void aCrcWithAPolynomialOfNoCatalogueIsFound() {
    assertThat(DNP.over("123456789".getBytes(StandardCharsets.US_ASCII))).isEqualTo(0xEA82);

    Identification found =
        HeardBytes.identify(new InventedLine(23, 0.2).said(36, UnusualCheckTest::ownCrc).heard());

    print("CRC of another polynomial", found);
    assertThat(found.isSure()).isTrue();
    String draft = found.draft("tormentil").orElseThrow();
    assertThat(draft).contains("poly = 0x3D65", "reflect_in = true", "xor_out = 0xFFFF");
    Reading reading = readBy(draft, ownCrc(9)).orElseThrow();
    assertThat(reading.cells().mv(11)).isEqualTo(cells(9, 11)[10]);
  }

  private static byte[] ownLine(int n) {
    byte[] body = bytes(0x4D, n, words(cells(n, 11)));
    long crc = new BitwiseCrc(32, 0x5A0849E7L, 0x13579BDFL, false, 0).over(body);
    byte[] whole = bytes(body, words((int) (crc >>> 16), (int) (crc & 0xFFFF)));
    return (":" + HexFormat.of().withUpperCase().formatHex(whole) + "\r")
        .getBytes(StandardCharsets.US_ASCII);
  }

  @Test
  void aLongCrcOfNoCatalogueIsFoundInLinesOfHexDigits() {
    Identification found =
        HeardBytes.identify(new InventedLine(26, 0.1).said(36, UnusualCheckTest::ownLine).heard());

    print("CRC of another polynomial in hex digits", found);
    assertThat(found.isSure()).isTrue();
    String draft = found.draft("avens").orElseThrow();
    assertThat(draft).contains("width = 32", "poly = 0x5A0849E7");
    Reading reading = readBy(draft, ownLine(9)).orElseThrow();
    assertThat(reading.cells().mv(11)).isEqualTo(cells(9, 11)[10]);
  }

  private static byte[] onCan(int n) {
    int[] cells = cells(n, 8);
    String low = HexFormat.of().formatHex(words(Arrays.copyOf(cells, 4)));
    String high = HexFormat.of().formatHex(words(Arrays.copyOfRange(cells, 4, 8)));
    return String.format(Locale.ROOT, "t2A18%s\rt2A28%s\rT18F101203%02X0000\r", low, high, n)
        .getBytes(StandardCharsets.US_ASCII);
  }

  @Test
  void framesOnCanAreToldByTheirIdentifiersAndTheirCellsNumberedOn() {
    Identification found =
        HeardBytes.identify(new InventedLine(24, 0.1).said(30, UnusualCheckTest::onCan).heard());

    print("CAN through slcan", found);
    assertThat(found.tables()).hasSize(3);
    assertThat(found.tables().get(0).columns().get(0).meaning()).isEqualTo("4 cell voltages in mV");
    String draft = found.draft("vetch").orElseThrow();
    assertThat(draft).contains("can_id = 0x2A1", "can_id = 0x18F10120", "number = 5");
    assertThat(Specs.read("vetch.toml", draft, new Problems())).isPresent();
  }

  /** A line feed among the noise, identifiers and pages that no frame of the board has. */
  @Test
  void damageIsNoFrameOfItsOwn() {
    InventedLine line =
        new InventedLine(27, 0)
            .said(
                80,
                n -> {
                  String whole = new String(onCan(n), StandardCharsets.US_ASCII);
                  String came = n == 20 ? whole.replace("t2A1", "t2B1") : whole;
                  return (n == 40 ? came.replace("t2A1", "t\n2A1") : came)
                      .getBytes(StandardCharsets.US_ASCII);
                });

    Identification found = HeardBytes.identify(line.heard());

    String draft = found.draft("vetch").orElseThrow();
    assertThat(draft).contains("can_id = 0x2A1", "number = 5").doesNotContain("0x2B1");
  }

  /** Without a check value the program says what it tried and what it did not. */
  @Test
  void whereNoCheckValueIsItSaysWhatWasNotTried() {
    InventedLine line = new InventedLine(25, 0.1);

    Identification found =
        HeardBytes.identify(line.said(30, n -> bytes(0x4D, 0xB6, n, words(cells(n, 6)))).heard());

    assertThat(found.sentences()).anyMatch(t -> t.contains("Not tried: "));
  }
}
