package org.cellherd.protocol.bringup;

import java.util.List;

/** Bytes that passed over a line at a time in ms. */
@SuppressWarnings("ArrayRecordComponent")
public record HeardBytes(long atMs, boolean isToBoard, byte[] bytes) {

  /** What is made of them. */
  public static Identification identify(List<HeardBytes> heard) {
    return BringUp.identify(recording(heard), List.of());
  }

  static Recording recording(List<HeardBytes> heard) {
    Recording recording = new Recording();
    heard.forEach(h -> recording.add(h.atMs(), h.isToBoard(), h.bytes()));
    return recording;
  }
}
