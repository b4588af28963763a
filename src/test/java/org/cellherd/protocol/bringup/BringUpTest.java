package org.cellherd.protocol.bringup;

import static org.assertj.core.api.Assertions.assertThat;
import static org.cellherd.protocol.bringup.InventedLine.bytes;
import static org.cellherd.protocol.bringup.InventedLine.cells;
import static org.cellherd.protocol.bringup.InventedLine.swapped;
import static org.cellherd.protocol.bringup.InventedLine.words;

import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.Random;
import org.cellherd.pack.Reading;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.Dialogue;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;
import org.junit.jupiter.api.Test;

/** Boards invented for this test, each of another make-up, each in fewer than 40 messages. */
class BringUpTest {
  private static final BitwiseCrc MODBUS = new BitwiseCrc(16, 0x8005, 0xFFFF, true, 0);
  private static final BitwiseCrc XMODEM = new BitwiseCrc(16, 0x1021, 0, false, 0);
  private static final BitwiseCrc X25 = new BitwiseCrc(16, 0x1021, 0xFFFF, true, 0xFFFF);
  private static final BitwiseCrc SMBUS = new BitwiseCrc(8, 0x07, 0, false, 0);
  private static final double MISHAP = 0.2;

  private static int sum(byte[] bytes) {
    int sum = 0;
    for (byte b : bytes) {
      sum += b & 0xFF;
    }
    return sum;
  }

  private static int pack(int[] cells) {
    return Arrays.stream(cells).sum() / 10;
  }

  /** The reading that a drafted description gives of a clean message; empty when refused. */
  static Optional<Reading> readBy(String draft, byte[] answer) {
    Problems problems = new Problems();
    Optional<Decoder> decoder = Specs.read("draft.toml", draft, problems);
    assertThat(problems.toString()).as(draft).doesNotContain("draft.toml:");
    assertThat(decoder).as("%s%n%s", problems, draft).isPresent();
    Dialogue dialogue = decoder.get().dialogue(1);
    dialogue.begin();
    dialogue.nextRequest();
    Dialogue.Progress progress = dialogue.feed(answer, 0, answer.length);
    assertThat(progress)
        .as("%s%n%s", dialogue.lastRefusal(), draft)
        .isEqualTo(Dialogue.Progress.ANSWERED);
    return dialogue.reading(0);
  }

  static void print(String board, Identification found) {
    System.out.println(board);
    found.sentences().forEach(t -> System.out.println("  " + t));
    found.wanted().forEach(t -> System.out.println("  open: " + t));
  }

  /** Published check values over "123456789" (catalogue of parametrised CRC algorithms). */
  @Test
  void theChecksOfTheseBoardsAreThoseOfTheCatalogue() {
    byte[] nine = "123456789".getBytes(StandardCharsets.US_ASCII);

    assertThat(MODBUS.over(nine)).isEqualTo(0x4B37);
    assertThat(XMODEM.over(nine)).isEqualTo(0x31C3);
    assertThat(X25.over(nine)).isEqualTo(0x906E);
    assertThat(SMBUS.over(nine)).isEqualTo(0xF4);
  }

  private static byte[] summed(int n) {
    int[] cells = cells(n, 8);
    byte[] head = bytes(0xC9, 1, 0x10, 18, words(cells), words(pack(cells)));
    return bytes(head, sum(head));
  }

  @Test
  void aPlainSumWithALengthAndTwoKindsIsFound() {
    InventedLine line = new InventedLine(1, MISHAP);
    for (int n = 0; n < 18; n++) {
      byte[] state = bytes(0xC9, 1, 0x11, 4, n * 7, 100 - n, 3, n);
      line.asked(bytes(0xC9, 1, 0x10, 0, 0xDA), summed(n));
      line.asked(bytes(0xC9, 1, 0x11, 0, 0xDB), bytes(state, sum(state)));
    }

    Identification found = HeardBytes.identify(line.heard());

    print("plain sum", found);
    assertThat(found.checksum()).contains("sum8");
    assertThat(found.isSure()).isTrue();
    assertThat(found.sentences())
        .anyMatch(t -> t.startsWith("Byte 4 holds the message's length less 5 bytes"))
        .anyMatch(t -> t.contains("told apart by byte 3"));
    assertThat(found.draft("hazel").orElseThrow())
        .contains("repeat = 8", "counts = [\"data\"]", "request = \"C9 01 10 00 DA\"");
    Problems problems = new Problems();
    assertThat(Specs.read("d.toml", found.draft("hazel").orElseThrow(), problems))
        .as("%s", problems)
        .isPresent();
  }

  private static byte[] twos(int n) {
    byte[] head = bytes(0xB6, 0x4D, words(cells(n, 16)), words(2981 + n % 5), n);
    return bytes(head, -sum(Arrays.copyOfRange(head, 2, head.length)));
  }

  @Test
  void aTwosComplementOfABoardThatTalksByItselfIsFound() {
    Identification found =
        HeardBytes.identify(new InventedLine(2, MISHAP).said(36, BringUpTest::twos).heard());

    print("two's complement, listening", found);
    assertThat(found.checksum()).contains("sum8-twos");
    assertThat(found.isSure()).isTrue();
    Reading reading = readBy(found.draft("rowan").orElseThrow(), twos(5)).orElseThrow();
    assertThat(reading.cells().count()).isEqualTo(16);
    assertThat(reading.cells().mv(16)).isEqualTo(cells(5, 16)[15]);
    assertThat(reading.temperatures().tenthC(1)).isEqualTo(250);
    assertThat(found.tables().get(0).columns())
        .anyMatch(c -> c.meaning().equals("a counter") && c.bytes().equals("37"));
  }

  private static byte[] xored(int n) {
    byte[] body = bytes(2, 0x20, swapped(words(cells(n, 4))), 40 + n % 3);
    int xor = 0;
    for (byte b : body) {
      xor ^= b;
    }
    return bytes(0x7B, body, xor, 0x7D);
  }

  @Test
  void anExclusiveOrBetweenBracesAndLowBytesFirstAreFound() {
    Identification found =
        HeardBytes.identify(new InventedLine(3, MISHAP).said(36, BringUpTest::xored).heard());

    print("exclusive-or, end byte", found);
    assertThat(found.checksum()).contains("xor8");
    assertThat(found.isSure()).isTrue();
    Reading reading = readBy(found.draft("alder").orElseThrow(), xored(9)).orElseThrow();
    assertThat(reading.cells().mv(1)).isEqualTo(cells(9, 4)[0]);
    assertThat(reading.cells().count()).isEqualTo(4);
  }

  private static byte[] crc8(int n) {
    byte[] body = bytes(0x5A, 0x04, words(cells(n, 10)), words(pack(cells(n, 10))));
    return bytes(body, (int) SMBUS.over(body));
  }

  @Test
  void aCrcOfEightBitsIsFound() {
    Identification found =
        HeardBytes.identify(new InventedLine(4, MISHAP).said(30, BringUpTest::crc8).heard());

    print("CRC-8", found);
    assertThat(found.checksum()).contains("crc-8/smbus");
    assertThat(found.isSure()).isTrue();
    Reading reading = readBy(found.draft("aspen").orElseThrow(), crc8(3)).orElseThrow();
    assertThat(reading.packMv().getAsInt()).isEqualTo(pack(cells(3, 10)) * 10);
  }

  private static byte[] modbus(byte[] body) {
    return bytes(body, swapped(words((int) MODBUS.over(body))));
  }

  private static byte[] registers(int n) {
    return modbus(bytes(7, 3, 36, words(cells(n, 16)), words(pack(cells(n, 16)), 512 + n)));
  }

  @Test
  void aModbusBoardIsKnownAsOneAndItsRegistersNamed() {
    InventedLine line = new InventedLine(5, MISHAP);
    byte[] request = modbus(bytes(7, 3, words(100, 18)));
    for (int n = 0; n < 25; n++) {
      line.asked(request, registers(n));
    }

    Identification found = HeardBytes.identify(line.heard());

    print("Modbus RTU", found);
    assertThat(found.checksum()).contains("crc-16/modbus");
    String draft = found.draft("birch").orElseThrow();
    assertThat(draft).contains("kind = \"modbus-rtu\"", "register = 100", "count = 18");
    Problems problems = new Problems();
    Decoder decoder = Specs.read("d.toml", draft, problems).orElseThrow();
    Dialogue dialogue = decoder.dialogue(7);
    dialogue.begin();
    assertThat(dialogue.nextRequest().orElseThrow().bytes()).isEqualTo(request);
    dialogue.feed(registers(2), 0, registers(2).length);
    assertThat(dialogue.reading(0).orElseThrow().cells().mv(2)).isEqualTo(cells(2, 16)[1]);
  }

  private static byte[] xmodem(int n, int count) {
    byte[] body = bytes(0x02, 0xC0, words(2 * count + 1), n % 4, words(cells(n, count)));
    return bytes(body, words((int) XMODEM.over(Arrays.copyOfRange(body, 1, body.length))));
  }

  @Test
  void anUnreflectedCrcAndALengthOfTwoBytesAreFound() {
    Identification found =
        HeardBytes.identify(
            new InventedLine(6, MISHAP).said(38, n -> xmodem(n, n % 2 == 0 ? 4 : 12)).heard());

    print("CRC-16 high byte first", found);
    assertThat(found.checksum()).contains("crc-16/xmodem");
    assertThat(found.sentences()).anyMatch(t -> t.contains("the message's length less 6 bytes"));
    assertThat(found.sentences()).anyMatch(t -> t.contains("from byte 2 on"));
    assertThat(readBy(found.draft("elder").orElseThrow(), xmodem(7, 12))).isPresent();
  }

  private static byte[] x25(int n) {
    byte[] body = bytes(0x31, n, words(cells(n, 7)), swapped(words(1000 - n)));
    return bytes(0x7E, body, swapped(words((int) X25.over(body))), 0x0D, 0x0A);
  }

  @Test
  void aCrcBeforeTwoEndBytesIsFoundInAStreamWithoutPauses() {
    Identification found =
        HeardBytes.identify(new InventedLine(7, 0.1).said(36, BringUpTest::x25).glued());

    print("CRC-16 before end bytes, one stream", found);
    assertThat(found.checksum()).contains("crc-16/ibm-sdlc");
    assertThat(found.isSure()).isTrue();
    Reading reading = readBy(found.draft("holly").orElseThrow(), x25(3)).orElseThrow();
    assertThat(reading.cells().count()).isEqualTo(7);
  }

  private static byte[] hexLine(int n) {
    byte[] body = bytes(0x01, 0x44, words(cells(n, 8)), 0x21);
    String digits = HexFormat.of().withUpperCase().formatHex(bytes(body, -sum(body)));
    return (":" + digits + "\r\n").getBytes(StandardCharsets.US_ASCII);
  }

  @Test
  void linesOfHexDigitsWithATwosComplementOfTheirBytesAreFound() {
    Identification found =
        HeardBytes.identify(new InventedLine(8, MISHAP).said(36, BringUpTest::hexLine).heard());

    print("ASCII-hex, sum of bytes", found);
    assertThat(found.checksum()).contains("sum8-twos");
    assertThat(found.isSure()).isTrue();
    Reading reading = readBy(found.draft("maple").orElseThrow(), hexLine(4)).orElseThrow();
    assertThat(reading.cells().mv(8)).isEqualTo(cells(4, 8)[7]);
  }

  private static byte[] telecom(int n, int count) {
    String info = HexFormat.of().withUpperCase().formatHex(bytes(count, words(cells(n, count))));
    int length = info.length();
    int check = -((length >> 8 & 15) + (length >> 4 & 15) + (length & 15)) & 15;
    String inner = String.format(Locale.ROOT, "21016000%04X%s", check << 12 | length, info);
    int value = -sum(inner.getBytes(StandardCharsets.US_ASCII)) & 0xFFFF;
    return String.format(Locale.ROOT, "~%s%04X\r", inner, value)
        .getBytes(StandardCharsets.US_ASCII);
  }

  @Test
  void aHexFrameWithSumOverCharactersAndACheckedLengthIsFound() {
    Identification found =
        HeardBytes.identify(
            new InventedLine(9, MISHAP).said(38, n -> telecom(n, n % 3 == 0 ? 4 : 15)).heard());

    print("ASCII-hex, sum of characters", found);
    assertThat(found.checksum()).contains("sum16-twos");
    assertThat(found.sentences())
        .anyMatch(t -> t.contains("over the characters"))
        .anyMatch(t -> t.contains("which the upper four check"));
    assertThat(readBy(found.draft("cedar").orElseThrow(), telecom(5, 15))).isPresent();
  }

  private static byte[] sum16(int n) {
    byte[] body = bytes(0xE7, 0x92, 0x06, words(cells(n, 14)), words(pack(cells(n, 14))), n);
    return bytes(body, words(sum(body)));
  }

  @Test
  void aSumOfSixteenBitsIsFoundInAStreamWithoutPauses() {
    Identification found =
        HeardBytes.identify(new InventedLine(10, 0.1).said(30, BringUpTest::sum16).glued());

    print("16-bit sum, one stream", found);
    assertThat(found.checksum()).contains("sum16");
    assertThat(found.isSure()).isTrue();
    Reading reading = readBy(found.draft("larch").orElseThrow(), sum16(8)).orElseThrow();
    assertThat(reading.cells().count()).isEqualTo(14);
  }

  private static byte[] escaped(int n) {
    byte[] body = bytes(0x11, 0x7E, n, words(cells(n, 6)), 0x7D);
    byte[] inner = bytes(body, words((int) XMODEM.over(body)));
    StringBuilder hex = new StringBuilder("7E");
    for (byte b : inner) {
      boolean isSpecial = b == 0x7E || b == 0x7D;
      hex.append(isSpecial ? "7D" : "");
      hex.append(HexFormat.of().toHexDigits((byte) (isSpecial ? b ^ 0x20 : b)));
    }
    return HexFormat.of().parseHex(hex.append("7E"));
  }

  @Test
  void escapesBetweenTwoMarksAreUndone() {
    Identification found =
        HeardBytes.identify(new InventedLine(13, MISHAP).said(36, BringUpTest::escaped).heard());

    print("CRC-16 with escapes", found);
    assertThat(found.checksum()).contains("crc-16/xmodem");
    assertThat(found.draft("acer").orElseThrow())
        .contains("byte = \"7D\"", "of = \"7D 7E\"", "written_as = \"5D 5E\"");
    Reading reading = readBy(found.draft("acer").orElseThrow(), escaped(20)).orElseThrow();
    assertThat(reading.cells().mv(6)).isEqualTo(cells(20, 6)[5]);
  }

  private static byte[] line(int n) {
    int[] cells = cells(n, 4);
    return String.format(
            Locale.ROOT,
            "V1:%d V2:%d V3:%d V4:%d A:%d%n",
            cells[0],
            cells[1],
            cells[2],
            cells[3],
            n - 10)
        .getBytes(StandardCharsets.US_ASCII);
  }

  @Test
  void linesOfKeysAndValuesAreDescribed() {
    Identification found =
        HeardBytes.identify(new InventedLine(14, 0.1).said(30, BringUpTest::line).heard());

    print("key and value", found);
    assertThat(found.sentences())
        .anyMatch(t -> t.contains("pairs of key and value, parted by ' ', key and value by ':'"))
        .anyMatch(t -> t.startsWith("4 of them look like cell voltages in mV"));
    Reading reading = readBy(found.draft("privet").orElseThrow(), line(6)).orElseThrow();
    assertThat(reading.cells().mv(3)).isEqualTo(cells(6, 4)[2]);
  }

  @Test
  void randomBytesAreNotTakenForMessages() {
    byte[] noise = new byte[4000];
    new Random(11).nextBytes(noise);

    Identification found = HeardBytes.identify(List.of(new HeardBytes(0, false, noise)));

    assertThat(found.isSure()).isFalse();
  }

  /** Any bytes give a result, and what is drafted from them is a description without a mistake. */
  @Test
  void whateverCameAResultIsGivenAndItsDraftIsAccepted() {
    Random random = new Random(12);
    int drafts = 0;
    for (int run = 0; run < 100; run++) {
      List<HeardBytes> heard = new ArrayList<>();
      int alphabet = 1 + random.nextInt(run % 2 == 0 ? 4 : 256);
      for (int i = random.nextInt(30); i >= 0; i--) {
        byte[] piece = new byte[random.nextInt(run % 3 == 0 ? 40 : 9)];
        for (int k = 0; k < piece.length; k++) {
          piece[k] = (byte) (random.nextInt(alphabet) + 13 * (run % 5));
        }
        heard.add(new HeardBytes(random.nextInt(9000), random.nextInt(4) == 0, piece));
      }
      Identification found = HeardBytes.identify(heard);
      assertThat(found.sentences()).isNotEmpty();
      found.tables();
      Optional<String> draft = found.draft("fuzz");
      if (draft.isPresent()) {
        drafts++;
        Problems problems = new Problems();
        assertThat(Specs.read("d.toml", draft.get(), problems))
            .as("run %d %s%n%s", run, problems, draft.get())
            .isPresent();
      }
    }
    assertThat(drafts).isPositive();
  }

  @Test
  void nothingAtAllIsToldWithWhatWouldHelp() {
    Identification found = HeardBytes.identify(List.of());

    assertThat(found.sentences())
        .containsExactly("No messages can be told apart in 0 bursts of bytes.");
    assertThat(found.wanted()).hasSize(1);
    assertThat(found.draft("x")).isEmpty();
    assertThat(found.tables()).isEmpty();
  }
}
