package org.cellherd.analysis.state;

import java.nio.ByteBuffer;
import java.util.Arrays;
import java.util.zip.CRC32C;

/** The check value behind a state: no damage is taken for what a fold remembers. */
final class Seal {

  private Seal() {}

  static byte[] close(byte[] state) {
    byte[] sealed = Arrays.copyOf(state, state.length + Integer.BYTES);
    ByteBuffer.wrap(sealed).putInt(state.length, of(state));
    return sealed;
  }

  static byte[] open(byte[] sealed) {
    int length = sealed.length - Integer.BYTES;
    if (length < 0) {
      throw new StateMismatch("a state of " + sealed.length + " bytes");
    }
    byte[] state = Arrays.copyOf(sealed, length);
    if (ByteBuffer.wrap(sealed).getInt(length) != of(state)) {
      throw new StateMismatch("the state is damaged or of an older program");
    }
    return state;
  }

  private static int of(byte[] state) {
    CRC32C crc = new CRC32C();
    crc.update(state);
    return (int) crc.getValue();
  }
}
