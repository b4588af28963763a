package org.cellherd.app.verb;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Optional;
import org.cellherd.app.Stop;
import org.cellherd.app.config.FileText;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.catalog.Specs;
import org.cellherd.toml.Problems;

/**
 * Finds a decoder by the id of one that comes with the program, or by the path of a description.
 */
final class Decoders {

  private final Path config;

  /** Paths are relative to this config file. */
  Decoders(Path config) {
    this.config = config;
  }

  /** The decoder of an id or of a path that ends in {@code .toml}. */
  Decoder find(String spec) {
    if (spec.endsWith(".toml")) {
      return read(locate(spec));
    }
    Optional<Decoder> known = Specs.find(spec);
    if (known.isPresent()) {
      return known.get();
    }
    if (spec.matches("[a-z0-9-]+")) {
      for (Path folder : OwnSpecs.folders(config)) {
        Path own = folder.resolve(spec + ".toml");
        if (Files.isRegularFile(own)) {
          return read(own);
        }
      }
    }
    throw Stop.usage(
        "there is no board description \""
            + spec
            + "\""
            + Specs.suggestion(spec)
            + "; there is "
            + String.join(", ", Specs.ids())
            + ", or write the path of your own file that ends in .toml");
  }

  private Path locate(String spec) {
    Path path = Path.of(spec);
    Path parent = config.toAbsolutePath().getParent();
    return path.isAbsolute() || parent == null ? path : parent.resolve(path);
  }

  /**
   * Reads a description file.
   *
   * @throws Stop with what is wrong in it, and where
   */
  static Decoder read(Path file) {
    Problems problems = new Problems();
    return Specs.read(file.toString(), FileText.read(file), problems)
        .filter(d -> problems.isEmpty())
        .orElseThrow(() -> Stop.usage(problems.toString()));
  }
}
