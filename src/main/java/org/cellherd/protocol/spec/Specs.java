package org.cellherd.protocol.spec;

import java.io.IOException;
import java.io.InputStream;
import java.nio.charset.StandardCharsets;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.ServiceLoader;
import org.cellherd.protocol.Decoder;
import org.cellherd.protocol.DecoderProvider;
import org.cellherd.toml.Problems;
import org.cellherd.toml.Suggestion;

/** Where decoders come from: description files, those shipped, and decoders written as code. */
public final class Specs {

  private static final String FOLDER = "/protocol-specs/";

  /** Longest description file read from the class path. */
  private static final int MOST_BYTES = 1 << 20;

  private Specs() {}

  /**
   * A decoder from the text of a description file.
   *
   * @return empty when there are problems, which then say where
   */
  public static Optional<Decoder> read(String fileName, String text, Problems problems) {
    return SpecReader.read(fileName, text, problems).map(SpecDecoder::new);
  }

  /** Names of the shipped description files, without folder and {@code .toml}. */
  public static List<String> shippedNames() {
    return resource("index.txt")
        .map(text -> text.lines().map(String::strip).filter(s -> !s.isEmpty()).toList())
        .orElse(List.of());
  }

  /** The text of a shipped file such as {@code NAME.toml} or {@code NAME.vectors.toml}. */
  public static Optional<String> shippedText(String file) {
    return file.matches("[a-z0-9-]+(\\.vectors)?\\.toml") ? resource(file) : Optional.empty();
  }

  /**
   * The decoders of the shipped files.
   *
   * @throws IllegalStateException when a shipped file is wrong, which the build checks
   */
  public static List<Decoder> shipped() {
    List<Decoder> decoders = new ArrayList<>();
    for (String name : shippedNames()) {
      decoders.add(shipped(name));
    }
    return decoders;
  }

  private static Decoder shipped(String name) {
    Problems problems = new Problems();
    String file = name + ".toml";
    return resource(file)
        .flatMap(text -> read(file, text, problems))
        .orElseThrow(() -> new IllegalStateException("shipped file " + file + ": " + problems));
  }

  /** The decoders that are written as code. */
  public static List<Decoder> coded() {
    List<Decoder> decoders = new ArrayList<>();
    for (DecoderProvider provider :
        ServiceLoader.load(DecoderProvider.class, Specs.class.getClassLoader())) {
      decoders.addAll(provider.decoders());
    }
    return decoders;
  }

  public static List<String> ids() {
    List<String> ids = new ArrayList<>(shippedNames());
    coded().forEach(d -> ids.add(d.id()));
    return ids;
  }

  /** The decoder of an id, shipped or written as code. */
  public static Optional<Decoder> find(String id) {
    if (shippedNames().contains(id)) {
      return Optional.of(shipped(id));
    }
    int colon = id.indexOf(':');
    String whole = colon < 0 ? id : id.substring(0, colon);
    return coded().stream()
        .filter(d -> d.id().equals(whole))
        .findFirst()
        .flatMap(d -> colon < 0 ? Optional.of(d) : d.part(id.substring(colon + 1)));
  }

  /** The id that was probably meant: {@code , did you mean X?} or nothing. */
  public static String suggestion(String id) {
    return Suggestion.phrase(id, ids());
  }

  private static Optional<String> resource(String file) {
    try (InputStream in = Specs.class.getResourceAsStream(FOLDER + file)) {
      return in == null
          ? Optional.empty()
          : Optional.of(new String(in.readNBytes(MOST_BYTES), StandardCharsets.UTF_8));
    } catch (IOException e) {
      throw new IllegalStateException("cannot read the shipped file " + file, e);
    }
  }
}
