package org.cellherd.protocol.spec;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.cellherd.protocol.checksum.Sum;
import org.cellherd.protocol.frame.Bytes;
import org.cellherd.protocol.frame.ChecksumRule;
import org.cellherd.protocol.frame.FrameLayout;
import org.cellherd.protocol.frame.FrameLayout.Ending;
import org.cellherd.protocol.frame.FramePart;
import org.cellherd.protocol.frame.FramePart.Kind;
import org.cellherd.protocol.frame.LengthRule;
import org.cellherd.protocol.frame.ResultWords;
import org.cellherd.protocol.frame.Wire;

/** The framings that need no description. */
final class ReadyFrames {

  /** Meaning of results of the telecom frame. */
  static final ResultWords TELECOM_RESULTS =
      new ResultWords(
          Map.of(
              1L, "version not understood",
              2L, "checksum error",
              3L, "length checksum error",
              4L, "command invalid",
              5L, "command format wrong",
              6L, "data invalid",
              7L, "no ASCII hex"),
          Set.of());

  private ReadyFrames() {}

  /** The telecom frame; in a reply the result stands where a request has its code. */
  static FrameLayout telecom(boolean reply, Bytes version, Bytes group) {
    FramePart third =
        reply
            ? FramePart.constant("result", Kind.RESULT, Bytes.of((byte) 0), true)
            : FramePart.number("code", Kind.CODE, 1, false);
    List<FramePart> parts =
        List.of(
            FramePart.constant("start", Kind.START, Bytes.of((byte) '~'), true),
            FramePart.constant("version", Kind.CONSTANT, version, false),
            FramePart.number("address", Kind.ADDRESS, 1, false),
            FramePart.constant("group", Kind.CONSTANT, group, true),
            third,
            FramePart.number("length", Kind.LENGTH, 2, false),
            FramePart.data(),
            FramePart.number("checksum", Kind.CHECKSUM, 2, false),
            FramePart.constant("end", Kind.END, Bytes.of((byte) '\r'), true));
    Set<String> covers = Set.of("version", "address", "group", "code", "result", "length", "data");
    return new FrameLayout(
        new FrameLayout.Description(
            parts,
            Wire.HEX,
            Ending.LENGTH,
            Optional.of(new LengthRule(Set.of("data"), 0, true, true)),
            Optional.of(new ChecksumRule(Sum.SUM16_TWOS, covers, true, false, false)),
            2047,
            Set.of(),
            Optional.empty()));
  }
}
