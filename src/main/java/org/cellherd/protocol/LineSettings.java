package org.cellherd.protocol;

/**
 * How a serial line is set.
 *
 * @param baud bits per second
 * @param dataBits 5 to 8
 * @param parity parity bit
 * @param stopBits 1 or 2
 */
public record LineSettings(int baud, int dataBits, Parity parity, int stopBits) {

  /** The parity bit. */
  public enum Parity {
    NONE,
    ODD,
    EVEN
  }

  /** 9600 baud, 8 data bits, no parity, 1 stop bit. */
  public static final LineSettings DEFAULT = new LineSettings(9600, 8, Parity.NONE, 1);

  /** Refuses settings that no line has. */
  public LineSettings {
    if (baud < 50 || baud > 4_000_000) {
      throw new IllegalArgumentException("baud " + baud + ", allowed 50 to 4000000");
    }
    if (dataBits < 5 || dataBits > 8) {
      throw new IllegalArgumentException("data_bits " + dataBits + ", allowed 5 to 8");
    }
    if (stopBits < 1 || stopBits > 2) {
      throw new IllegalArgumentException("stop_bits " + stopBits + ", allowed 1 or 2");
    }
  }

  /** Bits of one character on the wire, start bit included. */
  public int bitsPerCharacter() {
    return 1 + dataBits + (parity == Parity.NONE ? 0 : 1) + stopBits;
  }

  /** Time that some bytes take on the wire, ns. */
  public long wireNanos(int bytes) {
    return bytes * (1_000_000_000L * bitsPerCharacter() / baud);
  }
}
