package org.cellherd.sim;

import java.io.IOException;
import java.io.InputStream;
import java.net.JarURLConnection;
import java.net.URI;
import java.net.URISyntaxException;
import java.net.URL;
import java.net.URLConnection;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.cellherd.toml.Problems;

/** The scenarios that come with the program, from its jar or from a folder of classes. */
public final class Scenarios {

  private static final String FOLDER = "simulators";
  private static final String ENDING = ".toml";

  private Scenarios() {}

  /** Names of all shipped scenarios, sorted, without ending. */
  public static List<String> shipped() {
    URL folder = Scenarios.class.getResource("/" + FOLDER);
    if (folder == null) {
      return List.of();
    }
    try {
      return list(folder).stream()
          .filter(name -> name.endsWith(ENDING))
          .map(name -> name.substring(0, name.length() - ENDING.length()))
          .sorted()
          .toList();
    } catch (IOException | URISyntaxException e) {
      throw new IllegalStateException("cannot list " + folder, e);
    }
  }

  private static List<String> list(URL folder) throws IOException, URISyntaxException {
    URLConnection connection = folder.openConnection();
    if (connection instanceof JarURLConnection jar) {
      String start = FOLDER + "/";
      return jar.getJarFile().stream()
          .map(entry -> entry.getName())
          .filter(name -> name.startsWith(start))
          .map(name -> name.substring(start.length()))
          .toList();
    }
    URI uri = folder.toURI();
    try (Stream<Path> files = Files.list(Path.of(uri))) {
      return files.map(path -> String.valueOf(path.getFileName())).toList();
    }
  }

  /** The text of a shipped scenario, by its name without ending; empty when there is none. */
  public static Optional<String> text(String name) {
    if (!name.matches("[a-z0-9-]{1,60}")) {
      return Optional.empty();
    }
    try (InputStream in = Scenarios.class.getResourceAsStream("/" + FOLDER + "/" + name + ENDING)) {
      return in == null
          ? Optional.empty()
          : Optional.of(new String(in.readAllBytes(), StandardCharsets.UTF_8));
    } catch (IOException e) {
      throw new IllegalStateException("cannot read the scenario " + name, e);
    }
  }

  /**
   * A shipped scenario.
   *
   * @throws IllegalArgumentException when there is none of this name, or it has problems
   */
  public static Scenario open(String name) {
    String text =
        text(name)
            .orElseThrow(
                () ->
                    new IllegalArgumentException(
                        "no scenario '" + name + "', there are: " + String.join(", ", shipped())));
    Problems problems = new Problems();
    return Scenario.read(FOLDER + "/" + name + ENDING, text, problems)
        .orElseThrow(() -> new IllegalArgumentException(problems.toString()));
  }
}
