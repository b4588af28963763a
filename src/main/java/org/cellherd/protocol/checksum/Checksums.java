package org.cellherd.protocol.checksum;

import java.util.Collection;
import java.util.LinkedHashMap;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;

/**
 * The check values known by name. Parameters of the CRCs from the public catalogue of parametrised
 * CRC algorithms; each is verified by its published check over "123456789".
 */
public final class Checksums {

  private static final Map<String, Checksum> BY_NAME = new LinkedHashMap<>();
  private static final Map<String, String> ALIASES =
      Map.ofEntries(
          Map.entry("crc-16", "crc-16/arc"),
          Map.entry("crc-16/ibm", "crc-16/arc"),
          Map.entry("crc-16/acorn", "crc-16/xmodem"),
          Map.entry("crc-16/ccitt-false", "crc-16/ibm-3740"),
          Map.entry("crc-16/autosar", "crc-16/ibm-3740"),
          Map.entry("crc-16/ccitt", "crc-16/kermit"),
          Map.entry("x-25", "crc-16/ibm-sdlc"),
          Map.entry("crc-16/x-25", "crc-16/ibm-sdlc"),
          Map.entry("crc-16/buypass", "crc-16/umts"),
          Map.entry("crc-8", "crc-8/smbus"),
          Map.entry("crc-8/maxim", "crc-8/maxim-dow"),
          Map.entry("crc-32", "crc-32/iso-hdlc"),
          Map.entry("crc-32c", "crc-32/iscsi"),
          Map.entry("lrc", "sum8-twos"),
          Map.entry("bcc", "xor8"));

  static {
    crc("crc-16/modbus", 16, 0x8005, 0xFFFF, true, 0);
    crc("crc-16/arc", 16, 0x8005, 0, true, 0);
    crc("crc-16/xmodem", 16, 0x1021, 0, false, 0);
    crc("crc-16/ibm-3740", 16, 0x1021, 0xFFFF, false, 0);
    crc("crc-16/kermit", 16, 0x1021, 0, true, 0);
    crc("crc-16/ibm-sdlc", 16, 0x1021, 0xFFFF, true, 0xFFFF);
    crc("crc-16/usb", 16, 0x8005, 0xFFFF, true, 0xFFFF);
    crc("crc-16/umts", 16, 0x8005, 0, false, 0);
    crc("crc-16/cms", 16, 0x8005, 0xFFFF, false, 0);
    crc("crc-16/mcrf4xx", 16, 0x1021, 0xFFFF, true, 0);
    crc("crc-8/smbus", 8, 0x07, 0, false, 0);
    crc("crc-8/maxim-dow", 8, 0x31, 0, true, 0);
    crc("crc-8/sae-j1850", 8, 0x1D, 0xFF, false, 0xFF);
    crc("crc-32/iso-hdlc", 32, 0x04C11DB7L, 0xFFFFFFFFL, true, 0xFFFFFFFFL);
    crc("crc-32/bzip2", 32, 0x04C11DB7L, 0xFFFFFFFFL, false, 0xFFFFFFFFL);
    crc("crc-32/mpeg-2", 32, 0x04C11DB7L, 0xFFFFFFFFL, false, 0);
    crc("crc-32/iscsi", 32, 0x1EDC6F41L, 0xFFFFFFFFL, true, 0xFFFFFFFFL);
    for (Sum sum : Sum.values()) {
      BY_NAME.put(sum.word(), sum);
    }
  }

  private Checksums() {}

  private static void crc(
      String name, int width, long poly, long init, boolean reflected, long xorOut) {
    BY_NAME.put(
        name, new Crc(name, new Crc.Parameters(width, poly, init, reflected, reflected, xorOut)));
  }

  /** All, sums last. */
  public static Collection<Checksum> all() {
    return BY_NAME.values();
  }

  /** The check of a name or of another name that people use for it, upper or lower case. */
  public static Optional<Checksum> named(String name) {
    String word = name.toLowerCase(Locale.ROOT);
    return Optional.ofNullable(BY_NAME.get(ALIASES.getOrDefault(word, word)));
  }
}
