package org.cellherd.protocol.bringup;

/** A CRC one bit at a time, straight from the definition: made apart from the program's tables. */
record BitwiseCrc(int width, long poly, long init, boolean reflected, long xorOut) {
  long over(byte[] data) {
    long register = init;
    long top = 1L << (width - 1);
    long mask = (top << 1) - 1;
    for (byte b : data) {
      for (int bit = 0; bit < 8; bit++) {
        int shift = reflected ? bit : 7 - bit;
        boolean in = (b >> shift & 1) != 0;
        boolean out = (register & top) != 0;
        register = register << 1 & mask;
        if (in != out) {
          register ^= poly;
        }
      }
    }
    long value = reflected ? Long.reverse(register) >>> (64 - width) : register;
    return (value ^ xorOut) & mask;
  }
}
