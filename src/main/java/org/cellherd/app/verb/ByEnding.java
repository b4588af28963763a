package org.cellherd.app.verb;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Supplier;
import org.cellherd.app.Stop;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.PngWriter;
import org.cellherd.report.scene.SvgWriter;
import org.cellherd.report.scene.Theme;

/** What a file is to hold, of the kind that its ending asks for. */
final class ByEnding {

  private static final double PNG_SCALE = 2;

  private final Map<String, Supplier<byte[]>> kinds = new LinkedHashMap<>();

  static ByEnding ofPicture(Drawing scene, Theme theme) {
    return new ByEnding()
        .text(".svg", () -> SvgWriter.file(scene, theme))
        .bytes(".png", () -> PngWriter.bytes(scene, theme, PNG_SCALE));
  }

  ByEnding bytes(String ending, Supplier<byte[]> made) {
    kinds.put(ending, made);
    return this;
  }

  ByEnding text(String ending, Supplier<String> made) {
    return bytes(ending, () -> made.get().getBytes(StandardCharsets.UTF_8));
  }

  /** Refuses a file that no picture can be written to, before there is one. */
  static void checkPicture(Path file) {
    new ByEnding().text(".svg", () -> "").text(".png", () -> "").of(file);
  }

  /**
   * Makes it.
   *
   * @throws Stop with exit code 2 where the file has another ending
   */
  byte[] of(Path file) {
    String name = file.toString().toLowerCase(Locale.ROOT);
    List<String> endings = new ArrayList<>(kinds.keySet());
    for (Map.Entry<String, Supplier<byte[]>> kind : kinds.entrySet()) {
      if (name.endsWith(kind.getKey())) {
        return kind.getValue().get();
      }
    }
    String last = endings.remove(endings.size() - 1);
    throw Stop.usage(file + ": the name must end in " + String.join(", ", endings) + " or " + last);
  }
}
