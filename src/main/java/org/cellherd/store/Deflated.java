package org.cellherd.store;

import java.io.ByteArrayInputStream;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Optional;
import java.util.zip.DeflaterOutputStream;
import java.util.zip.InflaterInputStream;

/** Saved states made small: rows of equally spaced times and unused places shrink twentyfold. */
final class Deflated {

  /** No state comes near; more is a damaged or hostile file. */
  static final int MOST_BYTES = 64 << 20;

  private Deflated() {}

  /** The bytes in the format of RFC 1950. */
  public static byte[] of(byte[] plain) {
    ByteArrayOutputStream small = new ByteArrayOutputStream();
    try (DeflaterOutputStream out = new DeflaterOutputStream(small)) {
      out.write(plain);
    } catch (IOException never) {
      throw new UncheckedIOException(never);
    }
    return small.toByteArray();
  }

  /** The plain bytes again; empty when these are not deflated, cut off or far too many. */
  public static Optional<byte[]> plain(byte[] deflated) {
    try (InflaterInputStream in = new InflaterInputStream(new ByteArrayInputStream(deflated))) {
      byte[] plain = in.readNBytes(MOST_BYTES + 1);
      return plain.length > MOST_BYTES ? Optional.empty() : Optional.of(plain);
    } catch (IOException notDeflated) {
      return Optional.empty();
    }
  }
}
