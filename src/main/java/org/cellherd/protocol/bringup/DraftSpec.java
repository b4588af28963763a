package org.cellherd.protocol.bringup;

import java.util.Collection;
import java.util.HexFormat;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.cellherd.protocol.bringup.ChecksumFit.Form;
import org.cellherd.protocol.bringup.Structure.Kind;
import org.cellherd.protocol.checksum.Checksum;
import org.cellherd.protocol.checksum.Checksums;
import org.cellherd.protocol.checksum.Crc;
import org.cellherd.protocol.checksum.Sum;

/** Writes a first description file for what was identified. */
final class DraftSpec {
  private final Structure s;
  private final StringBuilder out = new StringBuilder();

  private DraftSpec(Structure structure) {
    this.s = structure;
  }

  static String of(Structure structure, String id) {
    DraftSpec draft = new DraftSpec(structure);
    Sentences sentences = new Sentences(structure);
    draft.out.append(DraftHead.of(id, structure.isAsked(), sentences.found(), sentences.wanted()));
    if (ModbusDraft.applies(structure)) {
      ModbusDraft.write(structure, draft.out);
    } else {
      draft.frame();
      DraftFields fields = new DraftFields(structure, draft.out);
      for (Kind kind : structure.kinds()) {
        draft.message(kind);
        fields.write(kind);
      }
    }
    return draft.out.toString();
  }

  private void line(String text) {
    out.append(text).append('\n');
  }

  // ---- frame -----------------------------------------------------------------------------------

  private void frame() {
    List<PartSpan> parts = PartSpan.of(s);
    line("");
    line("[frame]");
    line("layout = [" + quoted(parts.stream().map(PartSpan::name).toList()) + "]");
    if (s.cut().isHex()) {
      line("encoding = \"hex\"");
    }
    for (PartSpan part : parts) {
      if (part.name().equals("start") || part.name().equals("end")) {
        line(part.name() + " = \"" + part.hex() + "\"");
      }
    }
    String ending = s.cut().escape().isPresent() ? "mark" : provenLength() ? "length" : "size";
    line("ends_by = \"" + ending + "\"");
    s.cut().escape().ifPresent(this::escape);
    constants(parts);
    if (provenLength()) {
      length(parts);
    }
    s.checksum().ifPresent(f -> checksum(f, parts));
    if (s.isAsked()) {
      line("");
      line("[request_frame]");
      line("layout = [\"data\"]");
    }
  }

  private void escape(Escape escape) {
    line("");
    line("[frame.escape]");
    line(String.format(Locale.ROOT, "byte = \"%02X\"", escape.mark()));
    line("of = \"" + hex(escape.meaning().values()) + "\"");
    line("written_as = \"" + hex(escape.meaning().keySet()) + "\"");
  }

  private static String hex(Collection<Integer> bytes) {
    return bytes.stream()
        .map(b -> String.format(Locale.ROOT, "%02X", b))
        .collect(Collectors.joining(" "));
  }

  private boolean provenLength() {
    return s.length().filter(LengthFit::isProven).isPresent();
  }

  private void constants(List<PartSpan> parts) {
    List<PartSpan> constants = parts.stream().filter(p -> p.name().startsWith("fixed")).toList();
    if (!constants.isEmpty()) {
      line("");
      line("[frame.constants]");
      constants.forEach(p -> line(p.name() + " = \"" + p.hex() + "\""));
    }
  }

  private void length(List<PartSpan> parts) {
    LengthFit fit = s.length().orElseThrow();
    int unit = fit.inCharacters() ? 2 : 1;
    line("");
    line("[frame.length]");
    line("bytes = " + fit.bytes());
    if (fit.isLowFirst()) {
      line("order = \"little\"");
    }
    int uncounted = s.dataAt() + s.trailer();
    int plus = unit * uncounted - fit.uncounted();
    if (s.cut().isHex()) {
      plus = unit * (s.dataAt() + s.trailer()) - fit.uncounted();
    }
    List<String> counted = PartSpan.adding(parts, plus, unit);
    line("counts = [" + quoted(counted) + "]");
    int rest = plus - PartSpan.bytes(parts, counted) * unit;
    if (rest != 0) {
      line("plus = " + rest);
    }
    if (fit.inCharacters()) {
      line("unit = \"characters\"");
    }
    if (fit.hasNibbleCheck()) {
      line("nibble_check = true");
    }
  }

  private void checksum(ChecksumFit fit, List<PartSpan> parts) {
    Form form = fit.form();
    line("");
    line("[frame.checksum]");
    line(algorithm(fit.checksum()));
    List<String> covers =
        parts.stream().filter(p -> p.isCoveredFrom(form.from())).map(PartSpan::name).toList();
    line("covers = [" + quoted(covers) + "]");
    if (form.isLowFirst()) {
      line("order = \"little\"");
    }
    if (form.isHex()) {
      line("form = \"hex\"");
    }
    if (form.overCharacters()) {
      line("over = \"characters\"");
    }
  }

  private static String algorithm(Checksum checksum) {
    if (checksum instanceof Crc crc && Checksums.named(crc.word()).isEmpty()) {
      Crc.Parameters p = crc.parameters();
      return String.format(
          Locale.ROOT,
          "crc = { width = %d, poly = 0x%X, init = 0x%X, reflect_in = %b, reflect_out = %b,"
              + " xor_out = 0x%X }",
          p.width(),
          p.poly(),
          p.init(),
          p.reflectIn(),
          p.reflectOut(),
          p.xorOut());
    }
    String kind = "kind = \"" + checksum.word() + "\"";
    return checksum instanceof Sum.Seeded seeded
        ? String.format(Locale.ROOT, "%s%nseed = 0x%X", kind, seeded.seed())
        : kind;
  }

  static String quoted(List<String> names) {
    return names.stream().map(n -> "\"" + n + "\"").collect(Collectors.joining(", "));
  }

  // ---- messages --------------------------------------------------------------------------------

  private void message(Kind kind) {
    int number = s.kinds().indexOf(kind) + 1;
    line("");
    line("[[message]]");
    line("name = \"message_" + number + "\"");
    if (kind.code().isPresent()) {
      line(String.format(Locale.ROOT, "code = 0x%02X", kind.code().getAsInt()));
    }
    if (s.isAsked()) {
      line("request = \"" + spaced(kind.request()) + "\"");
    }
    kind.page()
        .ifPresent(
            p ->
                line(
                    String.format(
                        Locale.ROOT,
                        "match = { at = %d, bytes = \"%02X\" }",
                        p.at() - s.dataAt(),
                        p.number())));
    if (kind.guesses().stream().allMatch(g -> g.field().isEmpty())) {
      line("optional = true");
    }
    if (!kind.isOfOneLength()) {
      line("longer = true");
    } else {
      line("bytes = " + (kind.shortest() - s.trailer() - s.dataAt()));
    }
  }

  private static String spaced(String hex) {
    return HexFormat.ofDelimiter(" ").withUpperCase().formatHex(HexFormat.of().parseHex(hex));
  }
}
