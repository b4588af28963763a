package org.cellherd.protocol.spec;

import java.util.List;
import org.cellherd.protocol.LineSettings;
import org.cellherd.protocol.Patience;
import org.cellherd.protocol.frame.Framing;
import org.cellherd.protocol.frame.ResultWords;

/**
 * A description file, read and checked. Immutable.
 *
 * @param id name that the config uses
 * @param title one line for people
 * @param line how the line is set
 * @param kind how frames are made
 * @param listenOnly true when the board talks by itself
 * @param greatestSkewMs most time between the first and the last message of one reading
 * @param patience what is stated of how long the board takes and needs
 * @param requests frames to the board
 * @param replies frames from the board
 * @param messages in the order of asking
 * @param results meaning of the numbers with which a board says no
 */
public record Spec(
    String id,
    String title,
    LineSettings line,
    FrameKind kind,
    boolean listenOnly,
    long greatestSkewMs,
    Patience patience,
    Framing requests,
    Framing replies,
    List<Message> messages,
    ResultWords results) {

  public Spec {
    messages = List.copyOf(messages);
  }

  /** True when each answer tells which of the questions it is to; pages tell their number. */
  boolean tellsAnswersApart() {
    return messages.stream()
        .allMatch(m -> messages.stream().allMatch(other -> other.equals(m) || !m.isLike(other)));
  }

  boolean isModbus() {
    return kind == FrameKind.MODBUS_RTU || kind == FrameKind.MODBUS_ASCII;
  }
}
