package org.cellherd.app.config;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashSet;
import java.util.Optional;
import java.util.Set;
import org.cellherd.app.Stop;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.spec.Specs;
import org.cellherd.toml.Problems;

/**
 * Finds a decoder by the id of one that comes with the program, or by the path of a description.
 */
public final class Decoders {

  private static final Path OF_THE_COMPUTER = Path.of("/etc/cellherd/protocol-specs");

  private final Path config;

  /** Paths are relative to this config file. */
  public Decoders(Path config) {
    this.config = config;
  }

  /** The user's own descriptions lie in these: beside the config, and of the computer. */
  public Set<Path> folders() {
    Set<Path> folders = new LinkedHashSet<>();
    folders.add(home().resolve("protocol-specs"));
    folders.add(OF_THE_COMPUTER);
    return folders;
  }

  public Path home() {
    Path parent = config.toAbsolutePath().normalize().getParent();
    return parent == null ? Path.of("/") : parent;
  }

  /**
   * The decoder of an id or of a path that ends in {@code .toml}.
   *
   * @throws Stop with exit code 2 where there is none, or its description has mistakes
   */
  public Decoder find(String spec) {
    return file(spec)
        .map(Decoders::read)
        .or(() -> Specs.find(spec))
        .orElseThrow(() -> Stop.usage(unknown(spec)));
  }

  /** What is wrong with an id that nothing has. */
  Optional<String> problem(String spec) {
    boolean isKnown = file(spec).isPresent() || Specs.find(spec).isPresent();
    return isKnown ? Optional.empty() : Optional.of(unknown(spec));
  }

  /** The user's own file that is meant, which a path need not have. */
  private Optional<Path> file(String spec) {
    if (spec.endsWith(".toml")) {
      return Optional.of(home().resolve(spec));
    }
    if (!spec.matches("[a-z0-9-]+") || Specs.ids().contains(spec)) {
      return Optional.empty();
    }
    return folders().stream()
        .map(folder -> folder.resolve(spec + ".toml"))
        .filter(Files::isRegularFile)
        .findFirst();
  }

  private static String unknown(String spec) {
    return "there is no board description \""
        + spec
        + "\""
        + Specs.suggestion(spec)
        + "; there is "
        + String.join(", ", Specs.ids())
        + ", or write the path of your own file that ends in .toml";
  }

  /**
   * Reads a description file.
   *
   * @throws Stop with what is wrong in it, and where
   */
  public static Decoder read(Path file) {
    Problems problems = new Problems();
    return Specs.read(file.toString(), FileText.read(file), problems)
        .filter(d -> problems.isEmpty())
        .orElseThrow(() -> Stop.usage(problems.toString()));
  }
}
