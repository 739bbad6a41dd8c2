# Installs what building and running needs on Debian and its kin; sourced by
# run.sh and test.sh. Elsewhere it says what to install and goes on.

# need PACKAGE…: installs those that are missing.
need() {
  local missing=()
  for p in "$@"; do
    [ "$(dpkg-query -W -f '${Status}' "$p" 2>/dev/null)" = "install ok installed" ] || missing+=("$p")
  done
  [ ${#missing[@]} -eq 0 ] && return 0
  local as=()
  if [ "$(id -u)" -ne 0 ]; then
    command -v sudo >/dev/null || { echo "Please install as root: ${missing[*]}" >&2; return 1; }
    as=(sudo)
  fi
  echo "Installing ${missing[*]}" >&2
  "${as[@]}" apt-get update -qq
  DEBIAN_FRONTEND=noninteractive "${as[@]}" apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
}

# Go 1.26 or a Go that fetches it by itself (1.21 or later).
need_go() {
  command -v go >/dev/null || PATH=$PATH:/usr/local/go/bin
  if ! command -v go >/dev/null; then
    if command -v apt-get >/dev/null; then
      # Debian's own Go may be older than go.mod asks; from 1.21 on it fetches
      # the right one by itself.
      need golang-go ca-certificates git
    fi
  fi
  local have
  have=$(go env GOVERSION 2>/dev/null) || { echo "Please install Go 1.26 or later from https://go.dev/dl, then start again." >&2; return 1; }
  case $have in
    go1.[0-9]|go1.[0-9].*|go1.1[0-9]|go1.1[0-9].*|go1.20*)
      echo "Found $have; Bendline needs Go 1.26 or later, from https://go.dev/dl." >&2; return 1 ;;
  esac
}

build_packages=(gcc pkg-config libc6-dev libgl1-mesa-dev libegl1-mesa-dev libgles2-mesa-dev libx11-dev libxcursor-dev libxrandr-dev libxinerama-dev libxi-dev libxxf86vm-dev)

elsewhere() {
  cat >&2 <<'EOT'
This script sets up Debian and its kin (apt-get), which this machine is not.
  macOS:   install Go 1.26 and the Xcode command line tools (xcode-select --install)
  Windows: install Go 1.26 and a gcc (MSYS2: pacman -S mingw-w64-x86_64-gcc)
  other Linux: Go 1.26, gcc, pkg-config, and the X11, Xcursor, Xrandr, Xinerama, Xi, Xxf86vm and GL headers
Then: go run ./cmd/bendline -demo    (without a window: go run ./cmd/bendline-batch help)
EOT
}
