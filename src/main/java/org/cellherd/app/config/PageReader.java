package org.cellherd.app.config;

import java.net.InetAddress;
import java.net.InetSocketAddress;
import java.net.UnknownHostException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import java.util.regex.Matcher;
import java.util.regex.Pattern;
import org.cellherd.page.PageSettings;
import org.cellherd.toml.TomlTable;

/** Reads {@code [page]}. */
final class PageReader {

  private static final String LISTEN = "127.0.0.1:" + PageSettings.PORT;
  private static final Pattern ADDRESS =
      Pattern.compile("(\\[[0-9A-Fa-f:.%a-z]+]|[^:\\[\\]]+):(\\d{1,5})");
  private static final Pattern NAME = Pattern.compile("[A-Za-z0-9._-]{1,253}");
  private static final int LAST_PORT = 65_535;

  private final Function<String, Path> beside;
  private final TomlTable t;
  private final SecretFile.Reader who;

  PageReader(Function<String, Path> beside, TomlTable table, SecretFile.Reader who) {
    this.beside = beside;
    this.t = table;
    this.who = who;
  }

  PageSettings read() {
    Optional<InetSocketAddress> listen = listen(t.text("listen", LISTEN));
    Optional<PageSettings.Token> token = token();
    List<String> names = t.has("names") ? t.texts("names") : List.of();
    for (String name : names) {
      if (!NAME.matcher(name).matches()) {
        t.problem("names", "\"" + name + "\" is no host name, allowed: such as \"pi.lan\"");
      }
    }
    Optional<Path> reports = t.textIfAny("reports").map(beside);
    boolean isOpen = listen.isPresent() && !listen.get().getAddress().isLoopbackAddress();
    if (isOpen && !t.has("token_file")) {
      t.problem(
          "listen",
          "others can reach \"%s\": add token_file = \"...\", or listen on %s"
              .formatted(t.text("listen"), LISTEN));
    }
    return (isOpen && token.isEmpty()) || listen.isEmpty()
        ? PageSettings.loopback(PageSettings.PORT)
        : new PageSettings(listen.get(), token, names, reports);
  }

  private Optional<InetSocketAddress> listen(String text) {
    Matcher parts = ADDRESS.matcher(text);
    if (parts.matches() && Integer.parseInt(parts.group(2)) <= LAST_PORT) {
      try {
        InetAddress host = InetAddress.getByName(parts.group(1));
        return Optional.of(new InetSocketAddress(host, Integer.parseInt(parts.group(2))));
      } catch (UnknownHostException unknown) {
        t.problem("listen", "no address of \"" + parts.group(1) + "\" is known");
        return Optional.empty();
      }
    }
    t.problem(
        "listen", "\"" + text + "\" is no address, allowed: HOST:PORT such as \"" + LISTEN + "\"");
    return Optional.empty();
  }

  private Optional<PageSettings.Token> token() {
    if (t.has("token")) {
      t.problem("token", "secrets are never in this file, write token_file = \"...\"");
    }
    Optional<String> file = t.textIfAny("token_file");
    if (file.isEmpty()) {
      return Optional.empty();
    }
    char[] secret = SecretFile.read(t, "token_file", beside.apply(file.get()), who);
    try {
      return secret.length == 0 ? Optional.empty() : Optional.of(PageSettings.Token.of(secret));
    } catch (IllegalArgumentException tooShort) {
      t.problem("token_file", file.get() + " " + tooShort.getMessage());
      return Optional.empty();
    } finally {
      Arrays.fill(secret, ' ');
    }
  }
}
