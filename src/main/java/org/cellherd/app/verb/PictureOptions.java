package org.cellherd.app.verb;

import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Optional;
import org.cellherd.app.FileCause;
import org.cellherd.app.Stop;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.PngWriter;
import org.cellherd.report.scene.SvgWriter;
import org.cellherd.report.scene.Theme;
import picocli.CommandLine.Option;

/** {@code --plot FILE --dark}: a picture beside an answer. */
final class PictureOptions {

  private static final double PNG_SCALE = 2;

  @Option(
      names = "--plot",
      paramLabel = "FILE",
      description = "Draw the discharge curves into a file that ends in .svg or .png.")
  private Optional<Path> file = Optional.empty();

  @Option(names = "--dark", description = "A plot for dark pages.")
  private boolean dark;

  boolean isWanted() {
    return file.isPresent();
  }

  /** Refuses a file that cannot be written, before time is spent. */
  void check() {
    file.ifPresent(
        path -> {
          if (!isSvg(path) && !path.toString().toLowerCase(Locale.ROOT).endsWith(".png")) {
            throw Stop.usage(path + ": the name must end in .svg or .png");
          }
          FileCause.checkWritable(path);
        });
  }

  private static boolean isSvg(Path path) {
    return path.toString().toLowerCase(Locale.ROOT).endsWith(".svg");
  }

  /** Writes the picture where one is wanted. */
  void write(Drawing scene, Output output) {
    Path path = file.orElseThrow();
    Theme theme = dark ? Theme.DARK : Theme.LIGHT;
    WholeFile.write(
        path,
        isSvg(path)
            ? SvgWriter.file(scene, theme).getBytes(StandardCharsets.UTF_8)
            : PngWriter.bytes(scene, theme, PNG_SCALE),
        output);
  }
}
