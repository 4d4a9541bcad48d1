// Prints the contract between page and core in the page's language.
#include <iostream>

#include "wasm/desk.h"

int main() { std::cout << trammel::contract_typescript(); }
