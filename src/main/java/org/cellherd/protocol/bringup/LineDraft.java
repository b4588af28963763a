package org.cellherd.protocol.bringup;

import java.util.List;
import java.util.Locale;
import java.util.Optional;

/** Writes the description of lines. */
record LineDraft(
    LineForm form,
    char separator,
    char keySeparator,
    String starts,
    boolean endsWithFeed,
    String request,
    Optional<LineCheckFit> check,
    List<TextColumn> columns) {

  private static final int MOST_FIELDS = 64;

  LineDraft {
    columns = List.copyOf(columns);
  }

  String text(List<TextColumn> cells, String unit) {
    StringBuilder out = new StringBuilder("\n[frame]\nkind = \"line\"\n");
    out.append("style = \"").append(form.name().toLowerCase(Locale.ROOT)).append("\"\n");
    out.append("separator = ").append(quoted(String.valueOf(separator))).append('\n');
    if (form == LineForm.KEY_VALUE) {
      out.append("key_separator = ").append(quoted(String.valueOf(keySeparator))).append('\n');
    }
    out.append(endsWithFeed ? "" : "end = \"cr\"\n").append("longest = 1024\n");
    check.ifPresent(c -> check(c, out));
    out.append("\n[[message]]\nname = \"line\"\n");
    out.append(starts.isEmpty() ? "" : "starts = " + quoted(starts) + "\n");
    out.append(request.isEmpty() ? "" : "request = " + quoted(request) + "\n");
    out.append("field = [\n");
    fields(cells, unit, out);
    return out.append("]\n").toString();
  }

  private static void check(LineCheckFit fit, StringBuilder out) {
    out.append("\n[frame.checksum]\nkind = \"").append(fit.checksum().word()).append("\"\n");
    out.append("mark = ").append(quoted(String.valueOf(fit.mark()))).append('\n');
    out.append(fit.skip() == 0 ? "" : "skip = " + fit.skip() + "\n");
  }

  private void fields(List<TextColumn> cells, String unit, StringBuilder out) {
    if (!cells.isEmpty()) {
      TextColumn first = cells.get(0);
      String pattern = first.stem() + "{n}";
      out.append("  { as = \"cell\", ").append(form == LineForm.CSV ? place(first) : key(pattern));
      out.append(", repeat = ").append(Math.min(MOST_FIELDS, cells.size()));
      boolean isNumbered = form != LineForm.CSV && first.numberAtEnd() != 1;
      out.append(isNumbered ? ", number = " + Math.max(1, first.numberAtEnd()) : "");
      out.append(", unit = \"").append(unit).append("\" },\n");
    }
    int more = 0;
    for (TextColumn column : columns) {
      if (!cells.contains(column) && more++ < MOST_FIELDS) {
        String where = form == LineForm.CSV ? place(column) : key(column.name());
        out.append("  { name = ").append(quoted("value " + column.name()));
        out.append(", ").append(where).append(", optional = true },\n");
      }
    }
  }

  private static String place(TextColumn column) {
    return "column = " + column.name();
  }

  /** An XDR column is named by transducer type and name. */
  private String key(String name) {
    if (form != LineForm.XDR) {
      return "key = " + quoted(name);
    }
    return "transducer = " + quoted(name.substring(0, 1)) + ", key = " + quoted(name.substring(2));
  }

  private static String quoted(String text) {
    StringBuilder out = new StringBuilder("\"");
    for (int i = 0; i < text.length(); i++) {
      char c = text.charAt(i);
      if (c == '"' || c == '\\') {
        out.append('\\').append(c);
      } else if (c < ' ' || c > '~') {
        out.append(String.format(Locale.ROOT, "\\u%04X", (int) c));
      } else {
        out.append(c);
      }
    }
    return out.append('"').toString();
  }
}
