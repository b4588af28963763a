package org.cellherd.board;

import java.util.Arrays;

/** What a device behind Modbus TCP makes of frames, and its check value by hand. */
final class MbapFrames {
  private MbapFrames() {}

  /** The frame of a serial line that a message of Modbus TCP stands for. */
  static byte[] crcInPlaceOfHeader(byte[] message) {
    return withCrc(Arrays.copyOfRange(message, 6, message.length));
  }

  /** A frame with its check value behind it. */
  static byte[] withCrc(byte[] body) {
    byte[] frame = Arrays.copyOf(body, body.length + 2);
    int crc = 0xFFFF;
    for (byte each : body) {
      crc ^= each & 0xFF;
      for (int bit = 0; bit < 8; bit++) {
        crc = (crc & 1) == 1 ? crc >> 1 ^ 0xA001 : crc >> 1;
      }
    }
    frame[frame.length - 2] = (byte) crc;
    frame[frame.length - 1] = (byte) (crc >> 8);
    return frame;
  }

  /** The message of Modbus TCP that answers another one by a frame of a serial line. */
  static byte[] headerInPlaceOfCrc(byte[] message, byte[] frame) {
    int length = frame.length - 2;
    byte[] header = {message[0], message[1], 0, 0, (byte) (length >> 8), (byte) length};
    return TinyWire.concat(header, Arrays.copyOf(frame, length));
  }
}
