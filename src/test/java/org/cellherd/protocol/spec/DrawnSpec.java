package org.cellherd.protocol.spec;

import java.io.ByteArrayOutputStream;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Random;
import java.util.stream.Collectors;
import org.cellherd.protocol.Dialogue.Progress;
import org.cellherd.protocol.Request;
import org.cellherd.toml.Problems;

/** A drawn description with two cells, a current and some drawn fields, and its drawn answer. */
final class DrawnSpec {

  /** Two cells at 3.331 and 3.330 V, 12.5 A. */
  private static final byte[] MEASURED = {0x0D, 0x03, 0x0D, 0x02, 0x04, (byte) 0xE2};

  private static final String MEASURED_FIELDS =
      """
        { as = "cell", type = "u16", repeat = 2, unit = "mV" },
        { as = "current", type = "s16", scale = 0.01, unit = "A", positive = "charging" },
      """;

  private static final List<String> KINDS =
      List.of("parts", "hex", "modbus-rtu", "modbus-ascii", "telecom-hex", "slcan");
  private static final List<String> TARGETS =
      List.of(
          "",
          "identity",
          "alarms",
          "bleed_mask",
          "soc",
          "board_charge",
          "charge_switch",
          "discharge_switch");

  private final String kind;
  private final List<DrawnField> fields = new ArrayList<>();
  private final SpecDecoder decoder;

  DrawnSpec(Random random, String measured) {
    kind = KINDS.get(random.nextInt(KINDS.size()));
    List<String> left = new ArrayList<>(TARGETS);
    int most = kind.equals("slcan") ? 8 : 15;
    for (int i = 1 + random.nextInt(4); i > 0; i--) {
      String as = left.get(random.nextInt(left.size()));
      if (!as.isEmpty()) {
        left.remove(as);
      }
      fields.add(DrawnField.draw(random, "field " + i, as, most));
    }
    if (!measured.isEmpty()) {
      fields.add(DrawnField.draw(random, "wild", measured, most));
    }
    Problems problems = new Problems();
    decoder =
        (SpecDecoder)
            Specs.read("drawn.toml", toml(), problems)
                .orElseThrow(() -> new AssertionError(problems + "\n" + toml()));
  }

  List<DrawnField> fields() {
    return fields;
  }

  /** Asks, or listens, until the drawn answer is taken or refused; the talk afterwards. */
  SpecDialogue heard() {
    SpecDialogue dialogue = decoder.talk(1);
    dialogue.begin();
    for (int i = 0; i < decoder.spec().messages().size(); i++) {
      Message message = decoder.spec().messages().get(i);
      Optional<Request> asked = dialogue.nextRequest();
      byte[] frame =
          decoder.spec().replies().build(asked.isPresent() ? 1 : 0, message.code(), data(i));
      if (dialogue.feed(frame, 0, frame.length) != Progress.ANSWERED) {
        break;
      }
    }
    return dialogue;
  }

  private byte[] data(int message) {
    ByteArrayOutputStream out = new ByteArrayOutputStream();
    if (message == 0) {
      out.writeBytes(MEASURED);
    }
    if (!kind.equals("slcan")) {
      fields.forEach(f -> out.writeBytes(f.data().array()));
    } else if (message > 0) {
      out.writeBytes(fields.get(message - 1).data().array());
    }
    if (kind.startsWith("modbus") && out.size() % 2 == 1) {
      out.write(0);
    }
    return out.toByteArray();
  }

  private String toml() {
    String head = "spec = 1\nid = \"drawn\"\ntitle = \"Drawn\"\n";
    String all =
        "field = [\n"
            + MEASURED_FIELDS
            + fields.stream().map(f -> "  " + f.toml() + ",\n").collect(Collectors.joining())
            + "]\n";
    return head
        + switch (kind) {
          case "parts", "hex" ->
              "[frame]\nlayout = [\"start\", \"address\", \"code\", \"length\", \"data\","
                  + " \"checksum\"]\nstart = \"5A\"\n"
                  + (kind.equals("hex") ? "encoding = \"hex\"\n" : "")
                  + "[frame.length]\nbytes = 1\n[frame.checksum]\nkind = \"sum16\"\n"
                  + "[[message]]\nname = \"all\"\ncode = 0x42\n"
                  + all;
          case "telecom-hex" ->
              "[frame]\nkind = \"telecom-hex\"\nversion = \"20\"\ngroup = \"46\"\n"
                  + "[[message]]\nname = \"all\"\ncode = 0x42\nrequest = \"01\"\n"
                  + all;
          case "slcan" -> "talk = \"listen\"\n[frame]\nkind = \"slcan\"\n" + perFrame();
          default ->
              "[frame]\nkind = \""
                  + kind
                  + "\"\n[[message]]\nname = \"all\"\nfunction = 3\nbase = 0\nregister = 7\n"
                  + "count = "
                  + data(0).length / 2
                  + "\n"
                  + all;
        };
  }

  private String perFrame() {
    StringBuilder text =
        new StringBuilder(
            "[[message]]\nname = \"measured\"\ncan_id = 0x100\nbytes = 6\nfield = [\n"
                + MEASURED_FIELDS
                + "]\n");
    for (int i = 0; i < fields.size(); i++) {
      DrawnField f = fields.get(i);
      text.append("[[message]]\nname = \"m").append(i).append("\"\ncan_id = ").append(0x101 + i);
      text.append("\nbytes = ").append(f.data().length()).append("\nfield = [").append(f.toml());
      text.append("]\n");
    }
    return text.toString();
  }

  @Override
  public String toString() {
    return kind + fields;
  }
}
