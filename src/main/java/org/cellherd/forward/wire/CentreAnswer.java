package org.cellherd.forward.wire;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;

/** What a centre says of one sending of a parcel. */
public sealed interface CentreAnswer permits HeldText, RefusedText {

  /** Lines of one message that are read, at most. */
  int MOST = 1_000;

  /** UUID of the log. */
  String log();

  /** Token of the sending that is answered. */
  long token();

  /** The line of the message. */
  String line();

  /** What a message says; lines that say nothing are left out. */
  static List<CentreAnswer> parse(String text) {
    List<CentreAnswer> all = new ArrayList<>();
    text.lines()
        .limit(MOST)
        .flatMap(line -> Stream.of(HeldText.parse(line), RefusedText.parse(line)))
        .flatMap(Optional::stream)
        .forEach(all::add);
    return all;
  }
}
