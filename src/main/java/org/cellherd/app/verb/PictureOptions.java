package org.cellherd.app.verb;

import java.nio.file.Path;
import java.util.Optional;
import org.cellherd.app.FileCause;
import org.cellherd.report.scene.Drawing;
import org.cellherd.report.scene.Theme;
import picocli.CommandLine.Option;

/** {@code --plot FILE --dark}: a picture beside an answer. */
final class PictureOptions {

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
          ByEnding.checkPicture(path);
          FileCause.checkWritable(path);
        });
  }

  private Theme theme() {
    return dark ? Theme.DARK : Theme.LIGHT;
  }

  /** Writes the picture where one is wanted. */
  void write(Drawing scene, Output output) {
    Path path = file.orElseThrow();
    WholeFile.write(path, ByEnding.ofPicture(scene, theme()).of(path), output);
  }
}
